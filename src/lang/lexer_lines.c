/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where statements end in a text: at the end of a line, unless a bracket is open or a backslash joins the
 * next line to it. */
#include <string.h>

#include "lexer.h"
#include "lexer_bytes.h"

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

/* What the lines read so far leave open. */
typedef struct line_state {
    size_t brackets;
    bool joined; /* a backslash ends the line */
    bool value;  /* what stands last is the end of a value, so a sign has to follow */
} line_state;

/* Whether a word binds the value in front of it or behind it. */
static bool is_binding(const char *at, size_t length, bool in_front)
{
    mw_token_kind kind = mw_lexer_word_kind(at, length);
    bool both = kind == MW_TOKEN_AND || kind == MW_TOKEN_OR || kind == MW_TOKEN_AS ||
                kind == MW_TOKEN_THEN || kind == MW_TOKEN_ELSE;
    return both || (!in_front && (kind == MW_TOKEN_IF || kind == MW_TOKEN_NOT));
}

/* Whether a value can end where the text from `begin` to `end` does. */
static bool ends_value(const char *begin, const char *end)
{
    if (strchr("([,+-*/^=<>.:&|", end[-1]) != NULL) {
        return false;
    }
    const char *word = end;
    while (word > begin && mw_byte_class_of(word[-1]) <= MW_BYTE_HIGH) {
        word--;
    }
    return !is_binding(word, (size_t)(end - word), false);
}

/* Notes how the part of a line in front of its comment or end leaves off. */
static void note_end(const char *begin, const char *end, line_state *state)
{
    mw_str content = mw_str_trim(mw_lexer_piece(begin, end));
    if (content.length > 0) {
        state->value = ends_value(content.at, content.at + content.length);
    }
}

/* Returns the line end at or behind `begin`, or `end`. */
static const char *scan_line(const char *begin, const char *end, line_state *state)
{
    const char *at = begin;
    state->joined = false;
    for (;;) {
        while (at < end && !matters[(uint8_t)*at]) {
            at++;
        }
        if (at == end || *at == '\n' || *at == '#') {
            break;
        }
        char byte = *at++;
        if (byte == '"') {
            at = skip_text(at, end);
        } else if (byte == '\\') {
            const char *behind = skip_blanks(at, end);
            state->joined = behind == end || *behind == '\n';
        } else if (byte == '(' || byte == '[') {
            state->brackets++;
        } else if (state->brackets > 0) {
            state->brackets--;
        }
    }
    if (state->brackets > 0) {
        note_end(begin, at, state);
    }
    return at < end && *at == '#' ? find_newline(at, end) : at;
}

/* Whether `PATH =` stands at a letter. */
static bool begins_definition(const char *at, const char *end)
{
    at = mw_lexer_word_end(at, end);
    while (at < end && *at == '.' && mw_lexer_is_letter(at + 1, end)) {
        at = mw_lexer_word_end(at + 1, end);
    }
    at = skip_blanks(at, end);
    return at < end && *at == '=' && (at + 1 == end || at[1] != '=');
}

/* Whether a line cannot be inside the bracket that is open: then the bracket was forgotten, and the
 * line is a statement of its own. */
static bool begins_anew(const char *at, const char *end, const line_state *state)
{
    at = skip_blanks(at, end);
    if (at == end || *at == '\n') {
        return true;
    }
    if (*at == '#') {
        return false;
    }
    if (!mw_lexer_is_letter(at, end)) {
        return state->value && strchr("),]*/^=<>+-.&|", *at) == NULL;
    }
    const char *word_end = mw_lexer_word_end(at, end);
    bool binding = is_binding(at, (size_t)(word_end - at), true);
    return (state->value && !binding) || begins_definition(at, end);
}

/* Returns the end of the statement that begins at `at`; `*open` is set where the text ends inside it. */
static const char *find_end(const char *at, const char *end, bool *open)
{
    line_state state = {0};
    for (;;) {
        at = scan_line(at, end, &state);
        *open = state.joined || state.brackets > 0;
        if (at == end || !*open || (!state.joined && begins_anew(at + 1, end, &state))) {
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
