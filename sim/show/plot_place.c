// SPDX-License-Identifier: MIT
#include "show/plot_place.h"

#include "base/clean.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

bool plot_place_find(const char *name, char *path, size_t size, char *message,
                     size_t message_size) {
    const char *places[] = {getenv("LOWLIFT_PLOTS_DIR"), LOWLIFT_PLOTS_INSTALL,
                            LOWLIFT_PLOTS_SOURCE};
    for (size_t i = 0; i < sizeof places / sizeof places[0]; ++i) {
        if (places[i] == NULL) {
            continue;
        }
        snprintf(path, size, "%s/%s", places[i], name);
        if (access(path, R_OK) == 0) {
            return true;
        }
        if (i == 0) {
            snprintf(message, message_size, "LOWLIFT_PLOTS_DIR: no %s in %.*s", name,
                     clean_whole(places[i], 200), places[i]);
            return false;
        }
    }
    snprintf(message, message_size, "plot script %s not found; set LOWLIFT_PLOTS_DIR to its folder",
             name);
    return false;
}
