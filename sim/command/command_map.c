// SPDX-License-Identifier: MIT
// `lowlift map`: how a regulator behaves over two fields, such as flow and port diameter.
#include "show/map_output.h"

#include <stdio.h>
#include <string.h>

#define SIDE_MIN 2
#define SIDE_MAX 2000

enum own_option {
    OWN_ACROSS,
    OWN_UP,
    OWN_POINTS,
    OWN_LOG,
    OWN_LINEAR,
    OWN_FINE,
    OWN_CHECKPOINT,
    OWN_COUNT
};

static int read_points(const struct study_request *q, const char *text, struct map *map) {
    int used = 0;
    unsigned across = map->simulated ? 36 : 100, up = map->simulated ? 30 : 100;
    if (text && (sscanf(text, "%4ux%4u%n", &across, &up, &used) != 2 || text[used] != '\0' ||
                 across < SIDE_MIN || up < SIDE_MIN || across > SIDE_MAX || up > SIDE_MAX)) {
        return command_usage(q->command,
                             "--points: found '%s'; allowed NxM, such as 60x40, each %d to %d",
                             text, SIDE_MIN, SIDE_MAX);
    }
    map->across.count = across;
    map->up.count = up;
    return EXIT_CODE_DONE;
}

static int check_logarithm(const struct study_request *q, const struct map_axis *axis) {
    if (!axis->logarithmic) {
        return EXIT_CODE_DONE;
    }
    enum unit_kind kind = axis->field->kind;
    if (kind == UNIT_PRESSURE_LEVEL || kind == UNIT_TEMPERATURE) {
        return command_usage(q->command, "--log: %s has a zero that is only agreed upon",
                             axis->path);
    }
    if (axis->from <= 0.0) {
        return command_usage(q->command, "--log: %s must begin above 0", axis->path);
    }
    return EXIT_CODE_DONE;
}

static int read_logarithm(const struct study_request *q, const char *text, struct map *map) {
    static const char *const words[] = {"none", "across", "up", "both"};
    for (unsigned i = 0; text && i < 4; i++) {
        if (strcmp(text, words[i]) == 0) {
            map->across.logarithmic = (i & 1U) != 0;
            map->up.logarithmic = (i & 2U) != 0;
            text = NULL;
        }
    }
    if (text) {
        return command_usage(q->command, "--log: found '%s'; allowed across, up, both, none", text);
    }
    int code = check_logarithm(q, &map->across);
    return code == EXIT_CODE_DONE ? check_logarithm(q, &map->up) : code;
}

static int read_axes(const struct study_request *q, const struct study_option *own,
                     struct map *map) {
    struct diagnostics list = {0};
    bool fine = true;
    if (own[OWN_ACROSS].value) {
        fine = map_axis_parse(&map->across, "--across", own[OWN_ACROSS].value, q->scenario,
                              map->trim, &list);
    } else {
        map_axis_flow(&map->across, q->scenario, map->trim);
    }
    if (own[OWN_UP].value) {
        fine = map_axis_parse(&map->up, "--up", own[OWN_UP].value, q->scenario, map->trim, &list) &&
               fine;
    } else {
        map_axis_port(&map->up, q->scenario, map->trim);
    }
    diagnostics_print(&list, stderr);
    diagnostics_free(&list);
    if (!fine) {
        return EXIT_CODE_USAGE;
    }
    if (map->across.field == map->up.field) {
        return command_usage(q->command, "--across and --up are both %s; allowed two fields",
                             map->up.path);
    }
    return EXIT_CODE_DONE;
}

static int read_map(const struct study_request *q, const struct study_option *own,
                    struct map *map) {
    map->scenario = q->scenario;
    map->trim = q->trim[0];
    map->simulated = !own[OWN_LINEAR].value;
    map->fine = own[OWN_FINE].value != NULL;
    if (map->fine && !map->simulated) {
        return command_usage(q->command, "--fine: nothing is simulated with --linear");
    }
    int code = read_axes(q, own, map);
    code = code == EXIT_CODE_DONE ? read_points(q, own[OWN_POINTS].value, map) : code;
    return code == EXIT_CODE_DONE ? read_logarithm(q, own[OWN_LOG].value, map) : code;
}

static int evaluate(const struct study_request *q, const char *checkpoint, struct map *map) {
    char message[600];
    struct study study = {.path = q->path,
                          .overrides = q->shared.overrides,
                          .override_count = q->shared.override_count,
                          .label = q->shared.quiet ? NULL : "map",
                          .threads = q->threads,
                          .checkpoint = checkpoint};
    enum study_status status = map_run(map, &study, message, sizeof message);
    return study_request_status(q, status, message);
}

static int carry_out(const struct study_request *q, const struct study_option *own) {
    struct map map = {0};
    int code = read_map(q, own, &map);
    if (code == EXIT_CODE_DONE) {
        code = evaluate(q, own[OWN_CHECKPOINT].value, &map);
    }
    if (code == EXIT_CODE_DONE) {
        code = map_output(q, &map);
    }
    map_free(&map);
    return code;
}

static int run(const struct command *command, int argc, char **argv) {
    struct study_option own[OWN_COUNT] = {
        {.name = "across="}, {.name = "up="},  {.name = "points="},    {.name = "log="},
        {.name = "linear"},  {.name = "fine"}, {.name = "checkpoint="}};
    struct study_request request;
    int code = study_request_read(command, argc, argv, own, OWN_COUNT, &request);
    if (code == EXIT_CODE_DONE) {
        code = carry_out(&request, own);
    }
    study_request_free(&request);
    return code == -1 ? command_help(command) : command_finish(command, code);
}

const struct command command_map = {
    .name = "map",
    .summary = "verdicts over flow and port diameter, or any two fields",
    .run = run,
    .help =
        "Usage: lowlift map [options] SCENARIO.yaml\n"
        "\n"
        "Simulates a trim at every point of a grid, by default flow against port diameter, and\n"
        "colours it by the verdict, with lines of equal pressure swing and seat-contact rate, and\n"
        "the line on which small motions neither grow nor die out. The scenario's trims and its\n"
        "flow are marked. Only the two fields change: everything else, Cv and travel too, stays\n"
        "as in the first trim (or the first --trim). A set pressure meant at flow is adjusted\n"
        "once, at the scenario's flow, and the screw is then left alone; schedules hold their\n"
        "first value. Writes a table as CSV, a summary as JSON and a picture.\n"
        "\n"
        "Example: up to which port are small motions steady, at more and at less flow?\n"
        "  lowlift map --linear scenarios/decline.yaml\n"
        "\n"
        "The same with friction, contact and the scenario's kick, in half a minute:\n"
        "  lowlift map scenarios/decline.yaml\n"
        "Is it the packing?\n"
        "  lowlift map --across 'friction.kinetic=0..40 lbf' scenarios/decline.yaml\n"
        "\n"
        "Options:\n"
        "  --across FIELD=FROM..TO   the field to the right, such as 'inflow.rate=0.05..1 "
        "MMscf/d'\n"
        "  --up FIELD=FROM..TO       the field upward, such as 'trim.port=1..3 in'\n"
        "  --log AXIS          spread across, up, both or none evenly in the logarithm; default:\n"
        "                      the flow when no --across names another\n"
        "  --points NxM        points across and up; default: 36x30, or 100x100 with --linear\n"
        "  --linear            eigenvalues only: how fast small motions die out or grow. In a\n"
        "                      second or two, without friction and contact\n"
        "  --fine              decide each point as lowlift run does; otherwise on three cycles\n"
        "                      that agree within 3 %, at three times the tolerance, in half the\n"
        "                      time\n"
        "  --checkpoint FILE   keep finished points in this file; the same command goes on from\n"
        "                      it after it was stopped or killed\n" STUDY_REQUEST_OPTIONS "\n"
        "All fields: lowlift fields. The verdicts and their numbers: lowlift verdicts.\n"
        "\n" STUDY_EXIT_CODES_HELP,
};
