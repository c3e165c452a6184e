// SPDX-License-Identifier: MIT
// Any page that people open in a browser: one HTML file that stands for itself, made from a source
// in plots/ and the texts of a command. Appears whole or not at all. Knows nothing of how a page
// looks or what it says.
//
// In the source, and in the files it takes in, stand orders of the form {{order NAME ...}}:
//   {{policy}}            the content policy: nothing but what is written here may run or load
//   {{style FILE ...}}    files of plots/ as one style sheet
//   {{script FILE ...}}   as one script, run at the end of the page
//   {{keep NAME FILE ...}}   as a text that nobody runs, found by its id, for a worker
//   {{bytes NAME FILE}}   the same of any file, in base64
//   {{file FILE}}         a file of plots/, with orders of its own
//   {{quote FILE}}        a file of plots/ as text
//   {{text NAME}}         a text of the command, as text only
//   {{data NAME}}         JSON of the command, found by its id
//   {{insert NAME}}       markup that a writer of pages made, its texts escaped with html_page_text
// Control characters of texts become blanks; what is not UTF-8 is refused.
#pragma once

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

struct html_page_part {
    const char *name;
    const char *text;
};

struct html_page {
    const char *source; // in plots/, such as "live.html"
    const struct html_page_part *part;
    size_t parts;
};

// Writes to a path. False with a message of one line.
bool html_page_write(const struct html_page *page, const char *path, char *message,
                     size_t message_size);

// A text such that it is text in HTML, within an element as within an attribute in quotes.
void html_page_text(FILE *out, const char *text);
