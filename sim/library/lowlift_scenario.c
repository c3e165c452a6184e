// SPDX-License-Identifier: MIT
#include "library/lowlift_scenario.h"

#include "base/decimal.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

static const char no_memory[] = "out of memory\n";

static void forget_errors(struct lowlift_scenario *handle) {
    free(handle->text);
    handle->text = NULL;
    handle->errors = "";
}

int scenario_keep_errors(struct lowlift_scenario *handle, struct diagnostics *list) {
    size_t size = 0;
    int errors = list->errors < INT_MAX ? (int)list->errors : INT_MAX;
    forget_errors(handle);
    if (list->count > 0 || list->no_memory) {
        FILE *out = open_memstream(&handle->text, &size);
        if (out) {
            diagnostics_print(list, out);
        }
        bool whole = out && !ferror(out);
        whole = out && fclose(out) == 0 && whole;
        handle->errors = whole ? handle->text : no_memory;
    }
    diagnostics_free(list);
    return errors;
}

void scenario_keep_no_memory(struct lowlift_scenario *handle) {
    if (handle && handle->scenario) {
        forget_errors(handle);
        handle->errors = no_memory;
    }
}

// What is wrong with the call itself, not with the scenario.
static void say(struct diagnostics *list, const char *what) {
    diagnostics_error(list, (struct place){"lowlift", 0, 0}, "%s", what);
}

const char *lowlift_version(void) {
    return LOWLIFT_VERSION;
}

// Reads the text, or the file of that name when there is none.
static struct lowlift_scenario *open_scenario(const char *name, const char *text, size_t length,
                                              const char *misuse) {
    struct lowlift_scenario *handle = calloc(1, sizeof *handle);
    if (!handle) {
        return NULL;
    }
    struct decimal decimal = decimal_begin();
    struct diagnostics list = {0};
    if (misuse) {
        say(&list, misuse);
    } else {
        handle->scenario =
            text ? scenario_load_text(name, text, length, &list) : scenario_load(name, &list);
    }
    if (list.errors > 0) {
        handle->refused = handle->scenario;
        handle->scenario = NULL;
    }
    if (handle->refused) { // all that is wrong with it, in one pass
        scenario_check(handle->refused, &list);
    }
    scenario_keep_errors(handle, &list);
    decimal_end(decimal);
    return handle;
}

struct lowlift_scenario *lowlift_open(const char *path) {
    return open_scenario(path, NULL, 0, path ? NULL : "no path of a scenario given");
}

struct lowlift_scenario *lowlift_open_text(const char *name, const char *text, size_t length) {
    return open_scenario(name ? name : "text", text, length,
                         text ? NULL : "no text of a scenario given");
}

int lowlift_set(struct lowlift_scenario *handle, const char *assignment) {
    if (!handle || !handle->scenario) {
        return 1;
    }
    struct decimal decimal = decimal_begin();
    struct diagnostics list = {0};
    if (assignment) {
        scenario_change(handle->scenario, assignment, &list);
    } else {
        say(&list, "no assignment given; allowed section.name=value");
    }
    int errors = scenario_keep_errors(handle, &list);
    decimal_end(decimal);
    return errors;
}

int lowlift_check(struct lowlift_scenario *handle) {
    if (!handle || !handle->scenario) {
        return 1;
    }
    struct decimal decimal = decimal_begin();
    struct diagnostics list = {0};
    if (scenario_check(handle->scenario, &list)) {
        scenario_warn(handle->scenario, &list);
    }
    int errors = scenario_keep_errors(handle, &list);
    decimal_end(decimal);
    return errors;
}

bool scenario_ready(struct lowlift_scenario *handle, size_t trim, struct scenario_case *out) {
    *out = (struct scenario_case){0};
    if (!handle || !handle->scenario) {
        return false;
    }
    struct diagnostics list = {0};
    size_t count = scenario_trim_count(handle->scenario);
    bool ready = trim < count && scenario_resolve(handle->scenario, trim, out, &list);
    if (trim >= count) {
        diagnostics_error(&list, (struct place){scenario_name(handle->scenario), 0, 0},
                          "no trim number %zu; allowed 0 to %zu", trim, count - 1);
    }
    scenario_keep_errors(handle, &list);
    return ready;
}

const char *lowlift_errors(const struct lowlift_scenario *handle) {
    return handle ? handle->errors : "lowlift: no scenario: out of memory, or never opened\n";
}

size_t lowlift_trim_count(const struct lowlift_scenario *handle) {
    return handle && handle->scenario ? scenario_trim_count(handle->scenario) : 0;
}

const char *lowlift_trim_name(const struct lowlift_scenario *handle, size_t trim) {
    return trim < lowlift_trim_count(handle) ? scenario_trim_name(handle->scenario, trim) : NULL;
}

void lowlift_close(struct lowlift_scenario *handle) {
    if (handle) {
        scenario_free(handle->scenario);
        scenario_free(handle->refused);
        free(handle->text);
        free(handle);
    }
}
