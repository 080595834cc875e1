/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the terminal is like, and messages in colour. */
#include "screen.h"

#include <langinfo.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

enum { NARROWEST = 20, WIDEST = 1000, USUAL_COLUMNS = 80, USUAL_ROWS = 24 };

static uint32_t size_from(const char *variable, uint32_t usual)
{
    const char *text = getenv(variable);
    long size = text ? strtol(text, NULL, 10) : 0;
    return size >= 2 && size <= WIDEST ? (uint32_t)size : usual;
}

uint32_t screen_width(void)
{
    struct winsize size;
    uint32_t width = 0;
    if (isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0) {
        width = size.ws_col;
    }
    width = width > 0 ? width : size_from("COLUMNS", USUAL_COLUMNS);
    return width >= NARROWEST ? width : NARROWEST;
}

uint32_t screen_rows(void)
{
    struct winsize size;
    if (isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row > 0) {
        return size.ws_row;
    }
    return size_from("LINES", USUAL_ROWS);
}

bool screen_colour(FILE *stream)
{
    const char *none = getenv("NO_COLOR");
    const char *term = getenv("TERM");
    bool able = term && term[0] != '\0' && strcmp(term, "dumb") != 0;
    return able && !(none && none[0] != '\0') && isatty(fileno(stream)) != 0;
}

bool screen_unicode(void)
{
    return strcmp(nl_langinfo(CODESET), "UTF-8") == 0;
}

/* ---- colours: of the eight basic ones, and never the only sign ---- */

#define RED    "\033[31m"
#define YELLOW "\033[33m"
#define GREEN  "\033[32m"
#define PLAIN  "\033[0m"

typedef struct paint {
    const char *word; /* as it stands in the line */
    const char *colour;
    bool begins; /* only at the begin of the line */
} paint;

static const paint paints[] = {
    {"  try: ", GREEN, true},       {": error: ", RED, false},   {"error: ", RED, true},
    {": warning: ", YELLOW, false}, {"warning: ", YELLOW, true},
};

/* The line at `*at`, without its end; moves on behind it. */
static mw_str line_at(mw_str text, size_t *at)
{
    const char *begin = text.at + *at;
    const char *end = memchr(begin, '\n', text.length - *at);
    size_t length = end ? (size_t)(end - begin) : text.length - *at;
    *at += length + (end != NULL);
    return (mw_str){begin, length};
}

/* A line that holds marks alone. */
static bool is_mark_line(mw_str line)
{
    bool marks = false;
    for (size_t i = 0; i < line.length; i++) {
        if (line.at[i] != ' ' && line.at[i] != '^') {
            return false;
        }
        marks = marks || line.at[i] == '^';
    }
    return marks;
}

static const char *find_in(mw_str line, const char *word)
{
    size_t length = strlen(word);
    for (size_t i = 0; i + length <= line.length; i++) {
        if (memcmp(line.at + i, word, length) == 0) {
            return line.at + i;
        }
    }
    return NULL;
}

static void paint_line(mw_str line, mw_text *out)
{
    if (is_mark_line(line)) {
        mw_text_adds(out, RED);
        mw_text_add_str(out, line);
        mw_text_adds(out, PLAIN);
        return;
    }
    for (size_t i = 0; i < sizeof paints / sizeof *paints; i++) {
        const char *found = find_in(line, paints[i].word);
        bool indented = line.length > 0 && line.at[0] == ' ' && !paints[i].begins;
        if (found && !indented && (!paints[i].begins || found == line.at)) {
            size_t before = (size_t)(found - line.at);
            size_t length = strlen(paints[i].word);
            mw_text_add(out, line.at, before);
            mw_text_adds(out, paints[i].colour);
            mw_text_add(out, found, length);
            mw_text_adds(out, PLAIN);
            mw_text_add(out, found + length, line.length - before - length);
            return;
        }
    }
    mw_text_add_str(out, line);
}

void screen_paint(mw_str messages, mw_text *out)
{
    size_t at = 0;
    while (at < messages.length) {
        paint_line(line_at(messages, &at), out);
        mw_text_addc(out, '\n');
    }
}

/* ---- lines ---- */

void screen_wrap(mw_str text, screen_column at, mw_text *out)
{
    size_t column = at.column;
    bool first = true;
    for (size_t i = 0; i < text.length;) {
        size_t blanks = 0;
        while (i + blanks < text.length && text.at[i + blanks] == ' ') {
            blanks++;
        }
        size_t end = i + blanks;
        while (end < text.length && text.at[end] != ' ') {
            end++;
        }
        mw_str word = {text.at + i + blanks, end - i - blanks};
        size_t columns = mw_utf8_columns(word);
        if (!first && column + blanks + columns > at.width) {
            mw_text_addc(out, '\n');
            mw_text_fill(out, ' ', at.indent);
            column = at.indent;
            blanks = 0;
        }
        mw_text_fill(out, ' ', blanks);
        mw_text_add_str(out, word);
        column += blanks + columns;
        first = false;
        i = end;
    }
    mw_text_addc(out, '\n');
}

/* Adds the part of a line between two columns. */
static void add_columns(mw_str line, size_t from, size_t to, mw_text *out)
{
    size_t column = 0;
    for (size_t at = 0; at < line.length && column < to;) {
        size_t length;
        mw_utf8_decode(line.at + at, line.at + line.length, &length);
        size_t columns = mw_utf8_columns((mw_str){line.at + at, length});
        if (column >= from && column + columns <= to) {
            mw_text_add(out, line.at + at, length);
        }
        column += columns;
        at += length;
    }
}

static const size_t indent_columns = 2;
static const size_t cut_columns = 3; /* of the dots where something is left out */

/* Adds a line of a source and its marks: where it is wider than the screen, the part round the marks. */
static void add_marked(mw_str line, mw_str marks, size_t width, mw_text *out)
{
    size_t all = mw_utf8_columns(line);
    size_t begin = 0;
    while (begin < marks.length && marks.at[begin] == ' ') {
        begin++;
    }
    size_t shown = width > indent_columns + 2 * cut_columns ? width - 2 * cut_columns : width;
    size_t from = all > width && begin > shown / 2 ? begin - shown / 2 : 0;
    from = from > 0 && from + shown > all ? all - shown : from;
    size_t to = all > width ? from + shown : all;
    mw_text_adds(out, from > 0 ? "..." : "");
    add_columns(line, from, to, out);
    mw_text_adds(out, to < all ? "..." : "");
    mw_text_addc(out, '\n');
    mw_text_fill(out, ' ', begin - from + (from > 0 ? cut_columns : 0));
    size_t end = marks.length > to && begin < to ? to : marks.length;
    mw_text_fill(out, '^', end - begin);
    mw_text_addc(out, '\n');
}

static void add_line(mw_str line, mw_text *out)
{
    mw_text_add_str(out, line);
    mw_text_addc(out, '\n');
}

void screen_fit(mw_str messages, size_t width, bool marks, mw_text *out)
{
    size_t at = 0;
    while (at < messages.length) {
        mw_str line = line_at(messages, &at);
        size_t next = at;
        mw_str below = at < messages.length ? line_at(messages, &next) : (mw_str){0};
        bool marked = is_mark_line(below);
        bool tries = line.length > 7 && memcmp(line.at, "  try: ", 7) == 0;
        at = marked ? next : at;
        if (marked && marks && width > 0) {
            add_marked(line, below, width, out);
        } else if (marked || width == 0) {
            add_line(line, out);
            if (marked && marks) {
                add_line(below, out);
            }
        } else {
            screen_wrap(line, (screen_column){0, tries ? 7 : 4, width}, out);
        }
    }
}
