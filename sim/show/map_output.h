// SPDX-License-Identifier: MIT
// A map in words, as a table (CSV), a summary (JSON) and a picture.
#pragma once

#include "show/study_output.h"
#include "study/map.h"

// Print, and write what the request asks for. Exit code.
int map_output(const struct study_request *request, const struct map *map);

// The picture alone. Exit code.
int map_picture(const struct study_request *request, const struct map *map,
                const struct scenario_case *base);
