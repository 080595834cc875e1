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
        const char *begin = messages.at + at;
        const char *end = memchr(begin, '\n', messages.length - at);
        size_t length = end ? (size_t)(end - begin) : messages.length - at;
        paint_line((mw_str){begin, length}, out);
        if (end) {
            mw_text_addc(out, '\n');
        }
        at += length + (end != NULL);
    }
}
