// SPDX-License-Identifier: MIT
// The core as a page calls it: one scenario, given as a dump (scenario/scenario_dump.h), changed by
// assignments as on the command line, run whole or in slices of simulated time. Plain C types and
// handles only. Texts that come back live until the next call with the same handle; nothing is
// printed. Reads no files, knows no looks. One handle is for one thread.
#pragma once

#include <stddef.h>

#ifdef __wasm__
#define PAGE_CALL(name) __attribute__((export_name(#name)))
#else
#define PAGE_CALL(name)
#endif

struct page;

// Room for a text that the page hands over. NULL without memory.
PAGE_CALL(page_room) void *page_room(size_t size);
PAGE_CALL(page_room_free) void page_room_free(void *room);

// Reads and checks a dump; page_ready tells whether it can be run, page_messages what is wrong.
// NULL only without memory. Free with page_close.
PAGE_CALL(page_open) struct page *page_open(const char *dump, size_t length);
PAGE_CALL(page_close) void page_close(struct page *page);
PAGE_CALL(page_ready) int page_ready(const struct page *page);

// What the last page_open, page_set, page_start or page_go_on had to say: one line for each error
// or warning, as the program prints them; "" for nothing.
PAGE_CALL(page_messages) const char *page_messages(const struct page *page);

// "section.name=value", units and all. 1 when it holds from the next start on; 0, and nothing has
// changed, when it is refused.
PAGE_CALL(page_set) int page_set(struct page *page, const char *assignment);

PAGE_CALL(page_trims) size_t page_trims(const struct page *page);
PAGE_CALL(page_trim_name) const char *page_trim_name(const struct page *page, size_t trim);

// Begins a run of a trim at its own start, or where the run before ended: then with the fields as
// they are now and the set screw where it was, time beginning at 0 again. 0 when it cannot.
PAGE_CALL(page_start) int page_start(struct page *page, size_t trim);
PAGE_CALL(page_go_on) int page_go_on(struct page *page);

// A push of the held pressure [Pa], such as a slug of gas brings; it comes with the next
// page_go_on.
PAGE_CALL(page_kick) void page_kick(struct page *page, double drop);

// Simulates on until a time of the run [s]; infinity runs to the end. 0 when the run has ended.
PAGE_CALL(page_advance) int page_advance(struct page *page, double until);
PAGE_CALL(page_time) double page_time(const struct page *page); // reached so far [s]

// The record so far: values of a channel [SI] at even times from 0.
PAGE_CALL(page_samples) size_t page_samples(const struct page *page);
PAGE_CALL(page_sample_interval) double page_sample_interval(const struct page *page); // [s]
PAGE_CALL(page_channels) size_t page_channels(void);
PAGE_CALL(page_channel_name) const char *page_channel_name(size_t channel);
PAGE_CALL(page_channel) const double *page_channel(const struct page *page, size_t channel);

// Contacts with the seat so far, in order: when [s], how fast [m/s], and an estimate of the peak
// force [N].
PAGE_CALL(page_contacts) size_t page_contacts(const struct page *page);
PAGE_CALL(page_contact_time) double page_contact_time(const struct page *page, size_t contact);
PAGE_CALL(page_contact_speed) double page_contact_speed(const struct page *page, size_t contact);
PAGE_CALL(page_contact_force) double page_contact_force(const struct page *page, size_t contact);

// Ends the run where it is and judges it. 0 when the solver gave up; page_reason then says why.
PAGE_CALL(page_finish) int page_finish(struct page *page);

// Of a finished run. Figures by index, in SI and as the program prints them ("-" for none).
PAGE_CALL(page_verdict) const char *page_verdict(const struct page *page);
PAGE_CALL(page_reason) const char *page_reason(const struct page *page);
PAGE_CALL(page_figures) size_t page_figures(void);
PAGE_CALL(page_figure_name) const char *page_figure_name(size_t figure);
PAGE_CALL(page_figure) double page_figure(const struct page *page, size_t figure);
PAGE_CALL(page_figure_text) const char *page_figure_text(struct page *page, size_t figure);

// Checks the `expect` rows of the dump: one line each, as the program prints them, or NULL without
// memory. page_missed counts the rows that were not met.
PAGE_CALL(page_expect) const char *page_expect(struct page *page);
PAGE_CALL(page_missed) size_t page_missed(const struct page *page);

// Rows of the table of fields, by index from 0: "section.name", what it is, the words of a choice
// parted by blanks. As they stand for a trim: text (what was written, or the default's), where that
// comes from (0 nowhere, 1 the default, 2 given, 3 a guess), SI value (NaN for none), and whether
// the field belongs to this build.
PAGE_CALL(page_fields) size_t page_fields(void);
PAGE_CALL(page_field_path) const char *page_field_path(struct page *page, size_t field);
PAGE_CALL(page_field_help) const char *page_field_help(size_t field);
PAGE_CALL(page_field_words) const char *page_field_words(struct page *page, size_t field);
PAGE_CALL(page_field_text)
const char *page_field_text(const struct page *page, size_t trim, size_t field);
PAGE_CALL(page_field_source)
int page_field_source(const struct page *page, size_t trim, size_t field);
PAGE_CALL(page_field_applies)
int page_field_applies(const struct page *page, size_t trim, size_t field);
PAGE_CALL(page_field_si) double page_field_si(struct page *page, size_t trim, size_t field);

// A value in SI as results are shown: "3.52 psi". Of the trim last started; `kind` is that of a
// channel, by its index.
PAGE_CALL(page_channel_unit) const char *page_channel_unit(const struct page *page, size_t channel);
PAGE_CALL(page_channel_shown)
double page_channel_shown(const struct page *page, size_t channel, double si);

// A first scenario from what a technician knows, as `lowlift starter` writes it. Inputs by the
// names of its options, "body", a tab, "3 in" and a line's end each; reduced ports may be several.
// NULL only without memory; text is "" when something is wrong, which the messages then tell.
struct page_starter;
PAGE_CALL(page_starter_open)
struct page_starter *page_starter_open(const char *inputs, size_t length);
PAGE_CALL(page_starter_text) const char *page_starter_text(const struct page_starter *starter);
PAGE_CALL(page_starter_messages)
const char *page_starter_messages(const struct page_starter *starter);
PAGE_CALL(page_starter_close) void page_starter_close(struct page_starter *starter);
