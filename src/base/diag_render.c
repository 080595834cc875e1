/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Diagnostics as text for people and as JSON. Pieces of the user's file are made harmless before
 * they reach a terminal. */
#include "mouldwright/diag.h"

#include <string.h>

#include "mouldwright/json.h"
#include "utf8.h"

enum {
    TAB_COLUMNS = 8,
    LINE_COLUMNS = 96, /* a longer line is shown in part, round the mark */
    LEAD_COLUMNS = 32  /* what is then shown before the mark */
};

/* Control characters and marks that turn the direction of writing could make a message say something
 * else than it does. */
static bool is_unsafe(uint32_t code)
{
    return code < 0x20 || (code >= 0x7F && code < 0xA0) || code == UINT32_MAX ||
           (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069) ||
           code == 0x2028 || code == 0x2029;
}

/* Adds text with `?` for what must not reach a terminal. Line ends become `line_end`. */
static void add_safe(mw_text *out, mw_str text, const char *line_end)
{
    size_t length;
    for (size_t i = 0; i < text.length; i += length) {
        uint32_t code = mw_utf8_decode(text.at + i, text.at + text.length, &length);
        if (code == '\n') {
            mw_text_adds(out, line_end);
        } else if (is_unsafe(code)) {
            mw_text_addc(out, code == '\t' ? ' ' : '?');
        } else {
            mw_text_add(out, text.at + i, length);
        }
    }
}

/* One step along a line: the bytes of the next character with the marks on it, and its columns. */
typedef struct step {
    size_t bytes;
    size_t columns;
    bool tab;
} step;

static step next_step(mw_str line, size_t at, size_t column)
{
    if (line.at[at] == '\t') {
        return (step){.bytes = 1, .columns = TAB_COLUMNS - column % TAB_COLUMNS, .tab = true};
    }
    const char *end = line.at + line.length;
    size_t bytes;
    uint32_t code = mw_utf8_decode(line.at + at, end, &bytes);
    if (is_unsafe(code)) {
        return (step){.bytes = bytes, .columns = 1};
    }
    size_t last = 0;
    step s = {.bytes = bytes, .columns = mw_utf8_step_columns(code, &last)};
    /* Take what adds no column of its own, and the sign that makes the character before it wide. */
    while (at + s.bytes < line.length) {
        code = mw_utf8_decode(line.at + at + s.bytes, end, &bytes);
        size_t alone = 0;
        if (is_unsafe(code) || mw_utf8_step_columns(code, &alone) > 0) {
            break;
        }
        s.columns += mw_utf8_step_columns(code, &last);
        s.bytes += bytes;
    }
    return s;
}

/* Where a piece of a line begins and ends in display columns. */
typedef struct mark {
    size_t begin;
    size_t end;
    size_t line_end; /* columns of the whole line */
} mark;

static mark measure_mark(mw_str line, size_t begin, size_t end)
{
    mark m = {0};
    size_t column = 0;
    step s;
    for (size_t at = 0; at < line.length; at += s.bytes, column += s.columns) {
        s = next_step(line, at, column);
        if (at + s.bytes <= begin) {
            m.begin = column + s.columns;
        }
        if (at < end) {
            m.end = column + s.columns;
        }
    }
    m.line_end = column;
    if (m.end <= m.begin) {
        m.end = m.begin + 1; /* a place between two characters */
    }
    return m;
}

/* Adds the part of a line between two columns; what is only half inside becomes blanks. */
static void add_window(mw_text *out, mw_str line, size_t from, size_t to)
{
    size_t column = 0;
    step s;
    for (size_t at = 0; at < line.length && column < to; at += s.bytes, column += s.columns) {
        s = next_step(line, at, column);
        size_t left = column < from ? from : column;
        size_t right = column + s.columns > to ? to : column + s.columns;
        bool whole = column >= from && column + s.columns <= to;
        if (whole && !s.tab) {
            add_safe(out, (mw_str){line.at + at, s.bytes}, " ");
        } else if (right > left) {
            mw_text_fill(out, ' ', right - left);
        }
    }
}

/* Adds the line of a place and under it the mark. `end` is the byte of the source where the mark
 * ends; a mark over several lines is cut at the end of the first. */
static void add_line(mw_text *out, const mw_place *place, size_t begin, size_t end)
{
    static const char cut[] = "...";
    mark m = measure_mark(place->line_text, begin - place->line_begin, end - place->line_begin);
    size_t from = 0;
    size_t to = m.line_end;
    if (m.line_end > LINE_COLUMNS) {
        from = m.begin > LEAD_COLUMNS ? m.begin - LEAD_COLUMNS : 0;
        to = from + LINE_COLUMNS > m.line_end ? m.line_end : from + LINE_COLUMNS;
    }
    mw_text_adds(out, "  ");
    mw_text_adds(out, from > 0 ? cut : "");
    add_window(out, place->line_text, from, to);
    mw_text_adds(out, to < m.line_end ? cut : "");
    mw_text_adds(out, "\n  ");
    size_t mark_end = m.end > to && to > m.begin ? to : m.end;
    mw_text_fill(out, ' ', m.begin - from + (from > 0 ? sizeof cut - 1 : 0));
    mw_text_fill(out, '^', mark_end - m.begin);
    mw_text_addc(out, '\n');
}

/* Adds `file:line:col: WORD: TEXT` and the line with its mark. */
static void add_place(mw_text *out, const mw_sources *sources, mw_span span, const char *word,
                      const char *message)
{
    bool placed = span.source != MW_NONE && sources != NULL;
    mw_place place = {0};
    if (placed) {
        place = mw_sources_place(sources, span.source, span.begin);
        add_safe(out, place.name, " ");
        mw_text_addf(out, ":%u:%u: ", (unsigned)place.line, (unsigned)place.column);
    }
    mw_text_addf(out, "%s: ", word);
    add_safe(out, mw_str_of(message), "\n  ");
    mw_text_addc(out, '\n');
    if (placed) {
        size_t end = mw_sources_text(sources, span.source).length;
        size_t begin = span.begin < end ? span.begin : end;
        add_line(out, &place, begin, span.end < begin ? begin : span.end);
    }
}

static const char *advice_of(const mw_diag *diag)
{
    return diag->advice != NULL ? diag->advice : mw_code_advice(diag->code);
}

void mw_diag_render(const mw_diag *diag, const mw_sources *sources, mw_text *out)
{
    add_place(out, sources, diag->span, diag->warning ? "warning" : "error", diag->message);
    if (diag->other.source != MW_NONE) {
        add_place(out, sources, diag->other, "see also",
                  diag->other_note != NULL ? diag->other_note : "this place");
    }
    if (diag->extra != NULL) {
        mw_text_adds(out, "  ");
        add_safe(out, mw_str_of(diag->extra), "\n  ");
        mw_text_addc(out, '\n');
    }
    mw_text_adds(out, "  try: ");
    add_safe(out, mw_str_of(advice_of(diag)), "\n       ");
    mw_text_addf(out, "\n  see: help %s\n", mw_code_word(diag->code));
}

/* `and 3 more`, `and 3 more in FILE`: what is beyond the limit. */
static void add_rest(const mw_diags *diags, const mw_sources *sources, uint32_t source,
                     mw_text *out)
{
    for (size_t i = 0; i < diags->rest_count; i++) {
        const mw_diag_rest *rest = &diags->rests[i];
        if (rest->source != source) {
            continue;
        }
        mw_text_addf(out, "and %zu more", rest->count);
        if (source != MW_NONE && sources != NULL) {
            mw_text_adds(out, " in ");
            add_safe(out, mw_sources_name(sources, source), " ");
        }
        mw_text_addc(out, '\n');
    }
}

void mw_diags_render(const mw_diags *diags, const mw_sources *sources, mw_text *out)
{
    for (size_t i = 0; i < diags->count; i++) {
        uint32_t source = diags->items[i].span.source;
        bool last = i + 1 == diags->count || diags->items[i + 1].span.source != source;
        mw_diag_render(&diags->items[i], sources, out);
        if (last && source != MW_NONE) {
            add_rest(diags, sources, source, out);
        }
    }
    add_rest(diags, sources, MW_NONE, out);
    if (diags->no_memory) {
        mw_text_addf(out, "error: %s\n", mw_code_title(MW_CODE_NO_MEMORY));
    }
}

/* Adds the file, line and column of a span: always the three keys, null where it has no place. */
static void add_json_place(mw_json *json, const mw_sources *sources, mw_span span)
{
    bool placed = span.source != MW_NONE && sources != NULL;
    mw_place place = {0};
    if (placed) {
        place = mw_sources_place(sources, span.source, span.begin);
    }
    const char *const keys[] = {"file", "line", "column"};
    const uint32_t numbers[] = {0, place.line, place.column};
    for (size_t i = 0; i < sizeof keys / sizeof *keys; i++) {
        mw_json_key(json, keys[i]);
        if (!placed) {
            mw_json_add_null(json);
        } else if (i == 0) {
            mw_json_add_string(json, place.name);
        } else {
            mw_json_add_integer(json, numbers[i]);
        }
    }
}

static void add_json_text(mw_json *json, const char *key, const char *text)
{
    mw_json_key(json, key);
    mw_json_add_string(json, mw_str_of(text));
}

void mw_diag_json(const mw_diag *diag, const mw_sources *sources, mw_text *out)
{
    mw_json json = {.out = out};
    mw_json_open(&json, '{');
    mw_json_key(&json, diag->warning ? "warning" : "error");
    mw_json_open(&json, '{');
    add_json_text(&json, "code", mw_code_word(diag->code));
    add_json_text(&json, "message", diag->message);
    add_json_place(&json, sources, diag->span);
    if (diag->other.source != MW_NONE) {
        mw_json_key(&json, "other");
        mw_json_open(&json, '{');
        add_json_text(&json, "note", diag->other_note);
        add_json_place(&json, sources, diag->other);
        mw_json_close(&json, '}');
    }
    if (diag->extra != NULL) {
        add_json_text(&json, "extra", diag->extra);
    }
    add_json_text(&json, "try", advice_of(diag));
    mw_json_close(&json, '}');
    mw_json_close(&json, '}');
}
