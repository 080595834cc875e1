/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sheets of help, for people and as JSON. */
#include "help.h"

#include <string.h>

#include "screen.h"

enum { NARROW = 50 };

/* ---- lines ---- */

/* The next line of a text, without its end; moves the text past it. */
static mw_str take_line(mw_str *text)
{
    const char *end = memchr(text->at, '\n', text->length);
    size_t length = end ? (size_t)(end - text->at) : text->length;
    mw_str line = {text->at, length};
    text->at += length + (end != NULL);
    text->length -= length + (end != NULL);
    return line;
}

/* A line that is not broken; a cut shows itself. */
static void write_cut(mw_str line, const mw_style *style, mw_text *out)
{
    if (mw_utf8_columns(line) <= style->width || style->plain) {
        mw_text_add_str(out, line);
    } else {
        const char *mark = style->ascii ? "..." : "\xE2\x80\xA6";
        size_t room = style->width - mw_utf8_columns(mw_str_of(mark));
        size_t at = 0;
        size_t columns = 0;
        while (at < line.length) {
            size_t length;
            mw_utf8_decode(line.at + at, line.at + line.length, &length);
            columns += mw_utf8_columns((mw_str){line.at + at, length});
            if (columns > room) {
                break;
            }
            at += length;
        }
        mw_text_add(out, line.at, at);
        mw_text_adds(out, mark);
    }
    mw_text_addc(out, '\n');
}

void help_line_write(const char *line, const mw_style *style, mw_text *out)
{
    screen_wrap(mw_str_of(line), (screen_column){0, 2, style->width}, out);
}

static void write_lines(mw_str text, const mw_style *style, mw_text *out)
{
    while (text.length > 0) {
        mw_str line = take_line(&text);
        size_t indent = 0;
        while (indent < line.length && line.at[indent] == ' ') {
            indent++;
        }
        screen_wrap(line, (screen_column){0, indent + 2, style->width}, out);
    }
}

void help_row_write(help_row row, const mw_style *style, mw_text *out)
{
    if (style->plain) {
        mw_text_addf(out, "%s: %s\n", row.word, row.about);
        return;
    }
    size_t indent = style->width < NARROW ? 4 : row.column;
    mw_text_addf(out, "  %s", row.word);
    size_t column = 2 + mw_utf8_columns(mw_str_of(row.word));
    size_t blanks = column + 1 < indent ? indent - column : 2;
    mw_text_fill(out, ' ', blanks);
    screen_wrap(mw_str_of(row.about), (screen_column){column + blanks, indent, style->width}, out);
}

/* ---- sheets ---- */

void help_sheet_add(help_sheet *sheet, const help_page *page)
{
    if (!page) {
        return;
    }
    for (const help_example *e = page->examples; e->statement; e++) {
        if (sheet->example_count < HELP_EXAMPLES_MAX) {
            sheet->examples[sheet->example_count++] = *e;
        }
    }
    sheet->see = page->see ? page->see : sheet->see;
    if (page->text) {
        sheet->text = mw_str_of(page->text);
    }
}

/* The sentence with its capital and its point. */
static void add_sentence(mw_str about, mw_text *out)
{
    bool whole = about.length > 0 && about.at[about.length - 1] == '.';
    bool small = !whole && about.length > 1 && about.at[0] >= 'a' && about.at[0] <= 'z';
    mw_text_addc(out, small ? (char)(about.at[0] - 'a' + 'A') : about.at[0]);
    mw_text_add(out, about.at + 1, about.length - 1);
    mw_text_adds(out, whole ? "" : ".");
}

/* A line drawn with characters beyond ASCII says nothing aloud. */
static bool is_rule(mw_str line)
{
    for (size_t i = 0; i < line.length; i++) {
        if (line.at[i] != ' ' && line.at[i] != '-' && (unsigned char)line.at[i] < 0x80) {
            return false;
        }
    }
    return line.length > 0;
}

static void write_example(const help_example *example, const mw_style *style, mw_text *out)
{
    mw_str answer = mw_str_of(example->answer);
    mw_text line = {0};
    mw_text_addf(&line, style->plain ? "example: %s" : "  > %s", example->statement);
    screen_wrap((mw_str){mw_text_chars(&line), line.length}, (screen_column){0, 6, style->width},
                out);
    while (answer.length > 0) {
        mw_str piece = take_line(&answer);
        if (style->plain && is_rule(piece)) {
            continue;
        }
        mw_text_clear(&line);
        mw_text_adds(&line, style->plain ? "answer: " : "  ");
        mw_text_add_str(&line, style->plain ? mw_str_trim(piece) : piece);
        write_cut((mw_str){mw_text_chars(&line), line.length}, style, out);
    }
    out->failed = out->failed || line.failed;
    mw_text_free(&line);
}

static void write_examples(const help_sheet *sheet, const mw_style *style, mw_text *out)
{
    if (sheet->example_count == 0) {
        return;
    }
    mw_text_addf(out, style->plain ? "the examples are said in: %s\n" : "\nexamples, in %s\n",
                 HELP_JOB);
    for (size_t i = 0; i < sheet->example_count; i++) {
        write_example(&sheet->examples[i], style, out);
    }
}

static void write_end(const char *head, const char *words, const mw_style *style, mw_text *out)
{
    if (words) {
        mw_text line = {0};
        mw_text_addf(&line, "%s: %s", head, words);
        screen_wrap((mw_str){mw_text_chars(&line), line.length},
                    (screen_column){0, 2, style->width}, out);
        out->failed = out->failed || line.failed;
        mw_text_free(&line);
    }
}

void help_sheet_write(const help_sheet *sheet, const mw_style *style, mw_text *out)
{
    const char *gap = style->plain ? "" : "\n";
    mw_text about = {0};
    mw_str syntax = sheet->syntax;
    add_sentence(sheet->about, &about);
    screen_wrap((mw_str){mw_text_chars(&about), about.length}, (screen_column){0, 0, style->width},
                out);
    mw_text_free(&about);
    mw_text_adds(out, syntax.length > 0 ? gap : "");
    while (syntax.length > 0) {
        mw_text_adds(out, style->plain ? "form: " : "  ");
        screen_wrap(take_line(&syntax), (screen_column){2, 6, style->width}, out);
    }
    mw_text_adds(out, sheet->text.length > 0 ? gap : "");
    write_lines(sheet->text, style, out);
    write_examples(sheet, style, out);
    mw_text_adds(out, sheet->see || sheet->source ? gap : "");
    write_end("source", sheet->source, style, out);
    write_end("see", sheet->see, style, out);
}

/* ---- JSON ---- */

static void lines_json(const char *key, mw_str text, mw_json *json)
{
    mw_json_key(json, key);
    mw_json_open(json, '[');
    while (text.length > 0) {
        mw_json_add_string(json, take_line(&text));
    }
    mw_json_close(json, ']');
}

static void words_json(const char *words, mw_json *json)
{
    mw_json_key(json, "see");
    mw_json_open(json, '[');
    for (const char *at = words ? words : ""; *at;) {
        size_t length = strcspn(at, ",");
        mw_json_add_string(json, mw_str_trim((mw_str){at, length}));
        at += length + (at[length] == ',');
    }
    mw_json_close(json, ']');
}

void help_sheet_json(const help_sheet *sheet, mw_json *json)
{
    mw_json_open(json, '{');
    mw_json_key(json, "word");
    mw_json_add_string(json, mw_str_of(sheet->word));
    mw_json_key(json, "kind");
    mw_json_add_string(json, mw_str_of(sheet->kind));
    mw_json_key(json, "about");
    mw_json_add_string(json, sheet->about);
    lines_json("syntax", sheet->syntax, json);
    lines_json("text", sheet->text, json);
    mw_json_key(json, "examples");
    mw_json_open(json, '[');
    for (size_t i = 0; i < sheet->example_count; i++) {
        mw_json_open(json, '{');
        mw_json_key(json, "statement");
        mw_json_add_string(json, mw_str_of(sheet->examples[i].statement));
        lines_json("answer", mw_str_of(sheet->examples[i].answer), json);
        mw_json_close(json, '}');
    }
    mw_json_close(json, ']');
    words_json(sheet->see, json);
    if (sheet->source) {
        mw_json_key(json, "source");
        mw_json_add_string(json, mw_str_of(sheet->source));
    }
    mw_json_close(json, '}');
}
