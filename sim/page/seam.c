// SPDX-License-Identifier: MIT
// What the core leaves open, as a page fills it: eigenvalues and values typed by hand by methods of
// our own, and no files. sim/solve/eigenvalues.c, sim/yaml/yaml_tree.c and
// sim/scenario/scenario_file.c stand here in the native program.
#include "scenario/scenario_data.h"
#include "solve/eigenvalues.h"
#include "yaml/yaml_value.h"

bool eigenvalues_find(int n, double *matrix, double *real, double *imaginary) {
    return eigenvalues_qr(n, matrix, real, imaginary);
}

struct yaml_node *yaml_tree_read(struct arena *arena, const char *name, const char *text,
                                 size_t length, int column_shift, struct diagnostics *out) {
    return yaml_value_read(arena, name, text, length, column_shift, out);
}

char *scenario_read_file(const char *path, size_t limit, size_t *length, struct place place,
                         struct diagnostics *out) {
    (void)limit;
    *length = 0;
    diagnostics_error(out, place, "cannot open '%s': no files can be read here", path);
    return NULL;
}
