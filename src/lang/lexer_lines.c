/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where statements end in a text: at the end of a line, unless a bracket is open or a backslash joins the
 * next line to it. */
#include <string.h>

#include "lexer.h"

/* The bytes that have a say in where a line ends. */
static const bool matters[256] = {
    ['\n'] = true, ['"'] = true, ['#'] = true, ['\\'] = true,
    ['('] = true,  ['['] = true, [')'] = true, [']'] = true,
};

/* Returns the end of the text that begins behind a quote: behind the closing one, or the line end. */
static const char *skip_text(const char *at, const char *end)
{
    while (at < end && *at != '\n' && *at != '"') {
        at += *at == '\\' && at + 1 < end && at[1] != '\n' ? 2 : 1;
    }
    return at < end && *at == '"' ? at + 1 : at;
}

static const char *skip_blanks(const char *at, const char *end)
{
    while (at < end && (*at == ' ' || *at == '\t' || *at == '\r')) {
        at++;
    }
    return at;
}

static const char *find_newline(const char *at, const char *end)
{
    const char *found = memchr(at, '\n', (size_t)(end - at));
    return found == NULL ? end : found;
}

/* What one line of a text leaves open. */
typedef struct line_state {
    size_t brackets;
    bool joined; /* a backslash ends the line */
} line_state;

/* Returns the line end at or behind `at`, or `end`. */
static const char *scan_line(const char *at, const char *end, line_state *state)
{
    state->joined = false;
    for (;;) {
        while (at < end && !matters[(uint8_t)*at]) {
            at++;
        }
        if (at == end || *at == '\n') {
            return at;
        }
        char byte = *at++;
        if (byte == '"') {
            at = skip_text(at, end);
        } else if (byte == '#') {
            return find_newline(at, end);
        } else if (byte == '\\') {
            const char *behind = skip_blanks(at, end);
            state->joined = behind == end || *behind == '\n';
        } else if (byte == '(' || byte == '[') {
            state->brackets++;
        } else if (state->brackets > 0) {
            state->brackets--;
        }
    }
}

/* Whether a line inside an open bracket shows that the bracket was forgotten: it is blank or begins with
 * `PATH =`. */
static bool begins_anew(const char *at, const char *end)
{
    at = skip_blanks(at, end);
    if (at == end || *at == '\n') {
        return true;
    }
    if (!mw_lexer_is_letter(at, end)) {
        return false;
    }
    at = mw_lexer_word_end(at, end);
    while (at < end && *at == '.' && mw_lexer_is_letter(at + 1, end)) {
        at = mw_lexer_word_end(at + 1, end);
    }
    at = skip_blanks(at, end);
    return at < end && *at == '=' && (at + 1 == end || at[1] != '=');
}

/* Returns the end of the statement that begins at `at`; `*open` is set where the text ends inside it. */
static const char *find_end(const char *at, const char *end, bool *open)
{
    line_state state = {0, false};
    for (;;) {
        at = scan_line(at, end, &state);
        *open = state.joined || state.brackets > 0;
        if (at == end || !*open || (!state.joined && begins_anew(at + 1, end))) {
            return at;
        }
        at++;
    }
}

bool mw_next_line(const mw_sources *sources, uint32_t source, uint32_t *at, mw_span *span)
{
    mw_str text = mw_sources_text(sources, source);
    if (*at >= text.length) {
        return false;
    }
    const char *begin = text.at + *at;
    const char *end = text.at + text.length;
    if (*at == 0 && text.length >= 3 && memcmp(begin, "\xEF\xBB\xBF", 3) == 0) {
        begin += 3;
    }
    bool open = false;
    const char *line_end = find_end(begin, end, &open);
    *at = (uint32_t)(line_end - text.at) + (line_end < end);
    if (line_end > begin && line_end[-1] == '\r') {
        line_end--;
    }
    *span = (mw_span){source, (uint32_t)(begin - text.at), (uint32_t)(line_end - text.at)};
    return true;
}

bool mw_line_complete(mw_str text)
{
    const char *at = text.at;
    const char *end = text.at + text.length;
    bool open = false;
    while (at < end) {
        at = find_end(at, end, &open);
        if (at == end) {
            return !open;
        }
        at++;
    }
    return true;
}
