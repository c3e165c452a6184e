// SPDX-License-Identifier: MIT
#include "command/all.h"

#include "shell/command.h"

const struct command *command_at(size_t index) {
    static const struct command *const all[] = {
        &command_run,         &command_compare, &command_starter, &command_stability,
        &command_map,         &command_kick,    &command_waves,   &command_remedies,
        &command_uncertainty, &command_trims,   &command_decline, &command_record,
        &command_readings,    &command_match,   &command_page,    &command_lesson,
        &command_report,      &command_jobcard, &command_check,   &command_expect,
        &command_fields,      &command_verdicts};
    return index < sizeof all / sizeof all[0] ? all[index] : NULL;
}
