// SPDX-License-Identifier: MIT
// The commands, one a file of this folder; command_at has them in the order of the overview.
#pragma once

#include "shell/command.h"

extern const struct command command_run;
extern const struct command command_compare;
extern const struct command command_stability;
extern const struct command command_map;
extern const struct command command_kick;
extern const struct command command_starter;
extern const struct command command_trims;
extern const struct command command_decline;
extern const struct command command_remedies;
extern const struct command command_uncertainty;
extern const struct command command_check;
extern const struct command command_expect;
extern const struct command command_fields;
extern const struct command command_verdicts;
extern const struct command command_record;
extern const struct command command_page;
extern const struct command command_lesson;
extern const struct command command_report;
extern const struct command command_jobcard;
extern const struct command command_readings;
extern const struct command command_match;
extern const struct command command_waves;
