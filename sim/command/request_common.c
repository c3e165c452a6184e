// SPDX-License-Identifier: MIT
#include "command/request_common.h"

#include <stdio.h>
#include <string.h>

struct request_common request_common_start(void) {
    return (struct request_common){
        .folder = "lowlift-out", .files = true, .picture = true, .picture_type = "svg"};
}

int request_common_override(const struct command *command, struct request_common *common,
                            const char *text) {
    if (common->override_count == REQUEST_OVERRIDES_MAX) {
        return command_usage(command, "more than %d --set", REQUEST_OVERRIDES_MAX);
    }
    common->overrides[common->override_count++] = text;
    return EXIT_CODE_DONE;
}

static int take_trim(const struct command *command, struct request_common *common,
                     const char *name) {
    if (common->trim_count == REQUEST_TRIMS_MAX) {
        return command_usage(command, "more than %d --trim", REQUEST_TRIMS_MAX);
    }
    common->trims[common->trim_count++] = name;
    return EXIT_CODE_DONE;
}

static int take_units(const struct command *command, struct request_common *common,
                      const char *system) {
    if (strcmp(system, "us") != 0 && strcmp(system, "metric") != 0 && strcmp(system, "si") != 0) {
        return command_usage(command, "--units: found '%s'; allowed us, metric, si", system);
    }
    snprintf(common->units, sizeof common->units, "output.units=%s", system);
    return request_common_override(command, common, common->units);
}

static int take_plot(const struct command *command, struct request_common *common,
                     const char *type) {
    if (strcmp(type, "svg") != 0 && strcmp(type, "png") != 0) {
        return command_usage(command, "--plot: found '%s'; allowed svg, png", type);
    }
    common->picture_type = type;
    return EXIT_CODE_DONE;
}

int request_common_take(const struct command *command, struct request_common *common, int code) {
    switch (code) {
    case REQUEST_TRIM:
        return take_trim(command, common, optarg);
    case REQUEST_SET:
        return request_common_override(command, common, optarg);
    case REQUEST_UNITS:
        return take_units(command, common, optarg);
    case REQUEST_OUT:
        common->folder = optarg;
        break;
    case REQUEST_NO_FILES:
        common->files = false;
        break;
    case REQUEST_NO_PLOT:
        common->picture = false;
        break;
    case REQUEST_PLOT:
        return take_plot(command, common, optarg);
    case REQUEST_SKETCH:
        common->sketch = true;
        break;
    case REQUEST_QUIET:
        common->quiet = true;
        break;
    default: // --help, or -h
        return -1;
    }
    return EXIT_CODE_DONE;
}

struct scenario *request_common_open(const struct request_common *common, const char *path) {
    struct diagnostics list = {0};
    struct scenario *scenario =
        scenario_open(path, common->overrides, common->override_count, &list);
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    return scenario;
}
