// SPDX-License-Identifier: MIT
#include "show/plot_script.h"
#include "show/show.h"

#include <stdio.h>
#include <string.h>

bool show_picture(const struct answer *answer, const struct destination *to) {
    char path[DESTINATION_PATH_SIZE];
    char message[512];
    const struct picture *picture = &answer->picture;
    if (to->picture) {
        const bool png = strcmp(to->picture_type, "png") == 0;
        if (!destination_path(to, to->stem, to->picture_type, path)) {
            return false;
        }
        if (!plot_script_draw(picture, path, png ? PLOT_PNG : PLOT_SVG, message, sizeof message)) {
            return destination_fail(to, path, message);
        }
        destination_say(to, path);
    }
    if (to->sketch) {
        if (!plot_script_draw(picture, NULL, PLOT_TEXT, message, sizeof message)) {
            return destination_fail(to, "terminal", message);
        }
    }
    return true;
}
