// SPDX-License-Identifier: MIT
// Where an answer goes: which files, in which folder, under which name, and whether to draw.
#pragma once

#include <stdbool.h>

enum { DESTINATION_PATH_SIZE = 1024 };

struct destination {
    const char *command;      // in front of messages
    const char *folder;       // of files, made if missing
    const char *stem;         // of their names, such as "decline.map"
    bool files;               // write tables and the summary
    bool picture;             // write the picture
    const char *picture_type; // "svg" or "png"
    bool sketch;              // also draw in the terminal
    bool quiet;               // say neither what was written nor the usual words
};

// Path FOLDER/STEM.ending, the folder made if missing. False after a message.
bool destination_path(const struct destination *to, const char *stem, const char *ending,
                      char path[DESTINATION_PATH_SIZE]);

// The files of an answer belong together: hold the folder while they are written, so that two
// programs at work in it do not mix theirs. Waits for DESTINATION_PATIENCE while another holds it.
// -1 after a message; else a handle to be given back. A file system that knows no such locks is
// written all the same.
enum { DESTINATION_PATIENCE = 150 }; // [s]
int destination_hold(const struct destination *to);
void destination_let_go(int handle);

// Report a failure with a path on standard error, and return false.
bool destination_fail(const struct destination *to, const char *path, const char *cause);

// "wrote PATH", unless quiet.
void destination_say(const struct destination *to, const char *path);
