// SPDX-License-Identifier: MIT
// What the commands that look for windows of flow ask and tell alike.
#pragma once

#include "command/study_request.h"
#include "study/study.h"

// Size of the kick [Pa]: as a user wrote it, or (NULL) trim_window_kick of the scenario.
// EXIT_CODE_DONE, or EXIT_CODE_USAGE after a message.
int window_request_kick(const struct study_request *request, const char *text,
                        const struct scenario_case *scenario, double *kick);

// Exit code of a study; the message is printed unless it is done.
int window_request_outcome(const struct study_request *request, enum study_status status,
                           const char *message);
