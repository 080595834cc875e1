/* SPDX-License-Identifier: GPL-3.0-or-later */
/* libyaml says where its grammar broke; a person wants to know which character to change. A table
 * leads from its problem to a function that looks at the text around the place. */
#include "recipe/yaml_problem.h"

#include <string.h>

#include "recipe/yaml_text.h"

typedef struct explanation {
    const mw_yaml_tree *tree;
    mw_yaml_problem problem;
    mw_str text;
    uint32_t line; /* where the line with the problem begins */
} explanation;

static mw_diag *say(const explanation *e, mw_code code, uint32_t begin, uint32_t end,
                    const char *message)
{
    return mw_diags_error(e->tree->diags, code, mw_yaml_span(e->tree, begin, end), "%s", message);
}

static void advise(const explanation *e, mw_diag *diag, const char *advice)
{
    mw_diag_try(e->tree->diags, diag, "%s", advice);
}

static unsigned line_number(const explanation *e, uint32_t at)
{
    return (unsigned)mw_sources_place(e->tree->sources, e->tree->source, at).line;
}

static mw_span word_at(const explanation *e, uint32_t at)
{
    return mw_yaml_span(e->tree, at, mw_yaml_word_end(e->text, at));
}

/* Returns the visible part of a line from `at` on, at most 40 bytes of it. */
static mw_str rest_of_line(const explanation *e, uint32_t at)
{
    uint32_t end = mw_yaml_line_end(e->text, at);
    mw_str rest = mw_str_trim((mw_str){e->text.at + at, end - at});
    while (rest.length > 40 || (rest.length > 0 && rest.length < end - at &&
                                ((unsigned char)rest.at[rest.length] & 0xc0u) == 0x80u)) {
        rest.length--;
    }
    return rest;
}

/* Returns where ": " or ":" at the line's end stands between two places; MW_NONE: nowhere. */
static uint32_t find_colon(const explanation *e, uint32_t from, uint32_t to)
{
    for (uint32_t at = from; at < to; at++) {
        bool parts = at + 1 >= e->text.length || strchr(" \t\r\n", e->text.at[at + 1]) != NULL;
        if (e->text.at[at] == ':' && parts) {
            return at;
        }
    }
    return MW_NONE;
}

/* --- causes that many problems have ----------------------------------------------------------- */

static bool explain_tab(const explanation *e)
{
    uint32_t tab = mw_yaml_tab(e->text, e->line);
    if (tab == MW_NONE && e->problem.context_at != MW_NONE) {
        tab = mw_yaml_tab(e->text, mw_yaml_line_begin(e->text, e->problem.context_at));
    }
    if (tab == MW_NONE) {
        return false;
    }
    mw_diag *diag = say(e, MW_CODE_YAML_SYNTAX, tab, tab + 1,
                        "a tab is used for indentation; blanks are expected");
    advise(e, diag, "replace every tab at the beginning of a line by blanks");
    return true;
}

static void say_unclosed(const explanation *e, uint32_t bracket)
{
    char open = e->text.at[bracket];
    mw_diag *diag = mw_diags_error(
        e->tree->diags, MW_CODE_UNCLOSED, mw_yaml_span(e->tree, bracket, bracket + 1),
        "this `%c` is never closed: `%c` is expected", open, open == '[' ? ']' : '}');
    if (e->problem.at < e->text.length) {
        uint32_t at = mw_yaml_line_content(e->text, e->line);
        mw_diag_other(e->tree->diags, diag, word_at(e, bracket < at ? at : e->problem.at),
                      "this can no longer belong to it");
    }
}

/* Whether a bracket finds its partner later in the text, quotes passed over. */
static bool is_closed(const explanation *e, uint32_t bracket)
{
    uint32_t depth = 0;
    char quote = '\0';
    for (uint32_t at = bracket; at < e->text.length; at++) {
        char byte = e->text.at[at];
        if (quote != '\0') {
            quote = byte == quote ? '\0' : quote;
        } else if (byte == '"' || byte == '\'') {
            quote = byte;
        } else if (byte == '[' || byte == '{') {
            depth++;
        } else if ((byte == ']' || byte == '}') && --depth == 0) {
            return true;
        }
    }
    return false;
}

/* A bracket that was opened in an earlier line and has no partner. */
static bool explain_open_bracket(const explanation *e)
{
    if (e->tree->depth == 0 || !e->tree->frames[e->tree->depth - 1].flow) {
        return false;
    }
    uint32_t bracket = e->tree->frames[e->tree->depth - 1].node->span.begin;
    if (bracket >= e->line || is_closed(e, bracket)) {
        return false;
    }
    say_unclosed(e, bracket);
    return true;
}

/* Something stands behind a closing quote or bracket. */
static bool explain_trailing(const explanation *e)
{
    const mw_yaml_tree *tree = e->tree;
    bool quoted = tree->last_quoted && tree->last_scalar.end <= e->problem.at;
    uint32_t flow_end = tree->last_flow_end;
    bool bracket = flow_end != MW_NONE && flow_end <= e->problem.at &&
                   (!quoted || flow_end > tree->last_scalar.end);
    uint32_t end = bracket ? flow_end : tree->last_scalar.end;
    if ((!quoted && !bracket) || end < e->line) {
        return false;
    }
    if (!bracket && tree->last_scalar.begin < e->line) {
        mw_diag *diag = say(e, MW_CODE_UNCLOSED, tree->last_scalar.begin,
                            tree->last_scalar.begin + 1, "this quote is not closed in its line");
        mw_diag_other(tree->diags, diag, word_at(e, e->problem.at),
                      "so the text ends before this, at a quote meant to open the next");
        return true;
    }
    mw_span span = word_at(e, e->problem.at);
    mw_diag *diag =
        say(e, MW_CODE_YAML_SYNTAX, span.begin, span.end,
            bracket ? "something stands behind the closing bracket; the end of the line is expected"
                    : "something stands behind the closing quote; the end of the line is expected");
    advise(e, diag,
           bracket ? "remove it, or put the whole text in quotes"
                   : "put the whole text in quotes: 'the \"mill\" is free'");
    return true;
}

/* --- indentation ------------------------------------------------------------------------------ */

/* The column at which a line's key or text begins: behind the dashes of a list item. */
static uint32_t content_column(const explanation *e, uint32_t line)
{
    uint32_t at = mw_yaml_line_content(e->text, line);
    while (at + 1 < e->text.length && e->text.at[at] == '-' && e->text.at[at + 1] == ' ') {
        at++;
        while (at < e->text.length && e->text.at[at] == ' ') {
            at++;
        }
    }
    return at - line;
}

static uint32_t first_column(const explanation *e, uint32_t line)
{
    return mw_yaml_line_content(e->text, line) - line;
}

static void explain_missing_colon(const explanation *e)
{
    uint32_t at = e->problem.context_at == MW_NONE ? e->problem.at : e->problem.context_at;
    mw_str rest = rest_of_line(e, at);
    const char *tight = memchr(rest.at, ':', rest.length);
    if (tight != NULL) {
        uint32_t colon = (uint32_t)(tight - e->text.at);
        mw_diag *diag =
            say(e, MW_CODE_YAML_SYNTAX, colon, colon + 1, "a blank is missing behind this colon");
        advise(e, diag, "write `key: value`");
        return;
    }
    mw_diag *diag = mw_diags_error(
        e->tree->diags, MW_CODE_YAML_SYNTAX, mw_yaml_span(e->tree, at, at + (uint32_t)rest.length),
        "a colon is missing: `key: value` is expected, found `%.*s`", (int)rest.length, rest.at);
    advise(e, diag, "put `: ` behind the key, or put a text of several lines behind `|`");
}

/* The line above seems to be the one that is wrong: it should have been a key. */
static bool explain_line_above(const explanation *e)
{
    uint32_t above = mw_yaml_line_above(e->text, e->line);
    if (above == MW_NONE) {
        return false;
    }
    uint32_t begin = above + content_column(e, above);
    uint32_t colon = find_colon(e, begin, mw_yaml_line_end(e->text, above));
    if (colon == MW_NONE) {
        explanation here = *e;
        here.problem.context_at = begin;
        explain_missing_colon(&here);
        return true;
    }
    if (first_column(e, e->line) <= first_column(e, above)) {
        return false;
    }
    mw_span span = word_at(e, mw_yaml_line_content(e->text, e->line));
    mw_diag *diag =
        say(e, MW_CODE_YAML_SYNTAX, span.begin, span.end,
            "this line is indented deeper than the one above, which has its value already");
    mw_diag_other(e->tree->diags, diag,
                  mw_yaml_span(e->tree, begin, mw_yaml_line_end(e->text, above)), "the line above");
    advise(e, diag, "indent both alike");
    return true;
}

/* The columns near one: of the nearest line above that goes deeper, and of the nearest above that
 * which goes less deep. Lines are MW_NONE where there is none. */
typedef struct levels {
    bool fits;
    uint32_t deeper_line, deeper;
    uint32_t outer_line, outer;
} levels;

static levels look_above(const explanation *e, uint32_t column)
{
    levels found = {.deeper_line = MW_NONE, .outer_line = MW_NONE};
    uint32_t line = mw_yaml_line_above(e->text, e->line);
    for (; line != MW_NONE; line = mw_yaml_line_above(e->text, line)) {
        uint32_t first = first_column(e, line);
        uint32_t content = content_column(e, line);
        if (first == column || content == column) {
            found.fits = true;
            return found;
        }
        if (content > column && (found.deeper_line == MW_NONE || content < found.deeper)) {
            found.deeper_line = line;
            found.deeper = content;
        }
        if (first < column) {
            found.outer_line = line;
            found.outer = first;
            return found;
        }
    }
    return found;
}

static bool explain_indentation(const explanation *e)
{
    uint32_t content = mw_yaml_line_content(e->text, e->line);
    if (content != e->problem.at || content >= e->text.length) {
        return false;
    }
    uint32_t column = content - e->line;
    levels near = look_above(e, column);
    if (near.fits || (near.deeper_line == MW_NONE && near.outer_line == MW_NONE)) {
        return false;
    }
    if (near.deeper_line == MW_NONE && explain_line_above(e)) {
        return true;
    }
    mw_text expected = {0};
    if (near.deeper_line != MW_NONE) {
        mw_text_addf(&expected, "%u as in line %u", (unsigned)near.deeper,
                     line_number(e, near.deeper_line));
    }
    if (near.outer_line != MW_NONE) {
        mw_text_addf(&expected, "%s%u as in line %u", expected.length > 0 ? ", or " : "",
                     (unsigned)near.outer, line_number(e, near.outer_line));
    }
    mw_span span = word_at(e, content);
    mw_diags_error(e->tree->diags, MW_CODE_YAML_SYNTAX, span,
                   "this line is indented by %u blanks; expected are %s", (unsigned)column,
                   mw_text_chars(&expected));
    e->tree->diags->no_memory |= expected.failed;
    mw_text_free(&expected);
    return true;
}

/* --- one function for each sort of problem ---------------------------------------------------- */

static void explain_rest(const explanation *e)
{
    mw_span span = word_at(e, e->problem.at);
    say(e, MW_CODE_YAML_SYNTAX, span.begin, span.end,
        e->problem.at >= e->text.length ? "the file ends too early here"
                                        : "this cannot stand here");
}

static void explain_colon(const explanation *e)
{
    uint32_t first = find_colon(e, e->line, e->problem.at);
    if (first != MW_NONE) {
        mw_diag *diag = say(e, MW_CODE_YAML_SYNTAX, e->problem.at, e->problem.at + 1,
                            "a second colon with a blank behind it in one line");
        mw_diag_other(e->tree->diags, diag, mw_yaml_span(e->tree, first, first + 1),
                      "the first colon");
        advise(e, diag, "put what stands behind the first colon in quotes");
        return;
    }
    if (!explain_open_bracket(e) && !explain_trailing(e) && !explain_line_above(e)) {
        explain_rest(e);
    }
}

/* Between brackets a colon needs a blank behind it, also before a comma or bracket. */
static void explain_tight_colon(const explanation *e)
{
    mw_diag *diag = say(e, MW_CODE_YAML_SYNTAX, e->problem.at, e->problem.at + 1,
                        "a blank is missing behind this colon");
    advise(e, diag, "write `key: value`, or put the text in quotes");
}

static void explain_dash(const explanation *e)
{
    mw_diag *diag = say(e, MW_CODE_YAML_SYNTAX, e->problem.at, e->problem.at + 1,
                        "a list item cannot begin here");
    advise(e, diag,
           "begin the list in the next line, or write it as [a, b]; a text that begins with "
           "`-` stands in quotes");
}

static void explain_question(const explanation *e)
{
    mw_diag *diag =
        say(e, MW_CODE_YAML_SYNTAX, e->problem.at, e->problem.at + 1, "a key cannot begin here");
    advise(e, diag, "put a text that begins with `?` in quotes");
}

static void explain_character(const explanation *e)
{
    mw_span span = mw_yaml_span(e->tree, e->problem.at, e->problem.at + 1);
    if (e->problem.at < e->text.length && e->text.at[e->problem.at] == '\t') {
        mw_diag *diag = say(e, MW_CODE_YAML_SYNTAX, span.begin, span.end,
                            "a tab cannot stand here; blanks are expected");
        advise(e, diag, "replace the tab by blanks");
        return;
    }
    mw_str found = mw_sources_piece(e->tree->sources, span);
    mw_diag *diag = mw_diags_error(e->tree->diags, MW_CODE_YAML_SYNTAX, span,
                                   "a text without quotes cannot begin with `%.*s`",
                                   (int)found.length, found.at);
    advise(e, diag, "put the text in quotes");
}

static void explain_reserved(const explanation *e)
{
    uint32_t at = e->problem.context_at == MW_NONE ? e->problem.at : e->problem.context_at;
    mw_span span = mw_yaml_span(e->tree, at, at + 1);
    mw_str found = mw_sources_piece(e->tree->sources, span);
    bool tag = found.length > 0 && found.at[0] == '!';
    mw_diag *diag = mw_diags_error(
        e->tree->diags, tag ? MW_CODE_YAML_FORM : MW_CODE_YAML_ALIAS, span,
        "a text without quotes cannot begin with `%.*s`: it marks %s, which these files do not use",
        (int)found.length, found.at, tag ? "a tag" : "an anchor or alias");
    advise(e, diag, "put the text in quotes");
}

static void explain_directive(const explanation *e)
{
    uint32_t end = mw_yaml_line_end(e->text, e->line);
    mw_diag *diag =
        say(e, MW_CODE_YAML_FORM, e->line, end, "a line that begins with `%` cannot stand here");
    advise(e, diag, "remove the line, or put the text in quotes");
}

static void explain_block_header(const explanation *e)
{
    mw_span span = word_at(e, e->problem.at);
    mw_diag *diag = say(e, MW_CODE_YAML_SYNTAX, span.begin, span.end,
                        "nothing may stand behind `|` or `>`; the text begins in the next line");
    advise(e, diag, "put the text in quotes, or in the next line");
}

static void explain_quote(const explanation *e)
{
    uint32_t at = e->problem.context_at == MW_NONE ? e->problem.at : e->problem.context_at;
    say(e, MW_CODE_UNCLOSED, at, at + 1, "this quote is never closed");
}

static void explain_escape(const explanation *e)
{
    uint32_t begin = e->problem.at;
    uint32_t end = mw_yaml_word_end(e->text, begin);
    while (begin > e->line && begin < e->text.length && e->text.at[begin] != '\\') {
        begin--;
    }
    mw_diag *diag = say(e, MW_CODE_YAML_SYNTAX, begin, end,
                        "`\\` with what follows means nothing in double quotes");
    advise(e, diag, "use single quotes: a backslash is an ordinary character there");
}

static void explain_bracket(const explanation *e)
{
    uint32_t bracket = e->problem.context_at;
    if (bracket == MW_NONE || bracket >= e->text.length) {
        explain_rest(e);
        return;
    }
    bool same_line = mw_yaml_line_end(e->text, bracket) >= e->problem.at;
    if (e->problem.at >= e->text.length || (!same_line && !is_closed(e, bracket))) {
        say_unclosed(e, bracket);
        return;
    }
    char close = e->text.at[bracket] == '[' ? ']' : '}';
    mw_span span = word_at(e, e->problem.at);
    mw_str found = mw_sources_piece(e->tree->sources, span);
    found.length = found.length > 40 ? 40 : found.length;
    mw_diag *diag = mw_diags_error(e->tree->diags, MW_CODE_YAML_SYNTAX, span,
                                   "a comma or `%c` is expected here, found `%.*s`", close,
                                   (int)found.length, found.at);
    mw_diag_other(e->tree->diags, diag, mw_yaml_span(e->tree, bracket, bracket + 1),
                  "the bracket was opened here");
}

/* A colon where a key should stand. */
static bool explain_lone_colon(const explanation *e)
{
    uint32_t at = e->problem.at;
    if (at >= e->text.length || e->text.at[at] != ':') {
        return false;
    }
    say(e, MW_CODE_YAML_SYNTAX, at, at + 1, "a key is missing before the colon");
    return true;
}

static void explain_no_value(const explanation *e)
{
    if (explain_open_bracket(e) || explain_lone_colon(e)) {
        return;
    }
    mw_span span = word_at(e, e->problem.at);
    say(e, MW_CODE_YAML_SYNTAX, span.begin, span.end,
        e->problem.at >= e->text.length ? "a value is missing at the end of the file"
                                        : "a value is missing before this");
}

static void explain_line(const explanation *e, const char *message, const char *context_note)
{
    if (explain_trailing(e) || explain_indentation(e) || explain_lone_colon(e)) {
        return;
    }
    if (e->problem.at >= e->text.length) {
        explain_rest(e);
        return;
    }
    mw_span span = word_at(e, e->problem.at);
    mw_str found = mw_sources_piece(e->tree->sources, span);
    found.length = found.length > 40 ? 40 : found.length;
    mw_diag *diag = mw_diags_error(e->tree->diags, MW_CODE_YAML_SYNTAX, span, "%s, found `%.*s`",
                                   message, (int)found.length, found.at);
    if (e->problem.context_at != MW_NONE) {
        mw_diag_other(e->tree->diags, diag, word_at(e, e->problem.context_at), "%s", context_note);
    }
}

static void explain_no_key(const explanation *e)
{
    explain_line(e, "a key with a colon is expected here", "the keys begin here");
}

static void explain_no_dash(const explanation *e)
{
    explain_line(e, "a list item with `-` is expected here", "the list begins here");
}

/* Behind the end of the only list or map: mostly a line too far to the left. */
static void explain_no_document(const explanation *e)
{
    if (explain_trailing(e) || explain_indentation(e)) {
        return;
    }
    mw_span span = word_at(e, e->problem.at);
    say(e, MW_CODE_YAML_SYNTAX, span.begin, span.end,
        "the file's list or map has ended before this");
}

static const struct row {
    const char *words;
    void (*explain)(const explanation *e);
} rows[] = {
    {"could not find expected ':'", explain_missing_colon},
    {"mapping values are not allowed in this context", explain_colon},
    {"block sequence entries are not allowed in this context", explain_dash},
    {"mapping keys are not allowed in this context", explain_question},
    {"found character that cannot start any token", explain_character},
    {"found unexpected ':'", explain_tight_colon},
    {"did not find expected alphabetic or numeric character", explain_reserved},
    {"did not find expected '!'", explain_reserved},
    {"did not find the expected '>'", explain_reserved},
    {"did not find expected tag URI", explain_reserved},
    {"did not find URI escaped octet", explain_reserved},
    {"found an incorrect leading UTF-8 octet", explain_reserved},
    {"found an incorrect trailing UTF-8 octet", explain_reserved},
    {"did not find expected whitespace or line break", explain_reserved},
    {"found undefined tag handle", explain_reserved},
    {"found unknown directive name", explain_directive},
    {"could not find expected directive name", explain_directive},
    {"found unexpected non-alphabetical character", explain_directive},
    {"found extremely long version number", explain_directive},
    {"did not find expected version number", explain_directive},
    {"did not find expected digit or '.' character", explain_directive},
    {"did not find expected whitespace", explain_directive},
    {"found duplicate %YAML directive", explain_directive},
    {"found duplicate %TAG directive", explain_directive},
    {"found incompatible YAML document", explain_directive},
    {"found an indentation indicator equal to 0", explain_block_header},
    {"did not find expected comment or line break", explain_block_header},
    {"found unexpected document indicator", explain_quote},
    {"found unexpected end of stream", explain_quote},
    {"found unknown escape character", explain_escape},
    {"did not find expected hexdecimal number", explain_escape},
    {"found invalid Unicode character escape code", explain_escape},
    {"did not find expected ',' or ']'", explain_bracket},
    {"did not find expected ',' or '}'", explain_bracket},
    {"did not find expected node content", explain_no_value},
    {"did not find expected key", explain_no_key},
    {"did not find expected '-' indicator", explain_no_dash},
    {"did not find expected <document start>", explain_no_document},
};

void mw_yaml_explain(const mw_yaml_tree *tree, const mw_yaml_problem *problem)
{
    explanation e = {.tree = tree, .problem = *problem, .text = tree->text};
    e.line = mw_yaml_line_begin(e.text, problem->at);
    if (explain_tab(&e)) {
        return;
    }
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        if (strcmp(rows[i].words, problem->words) == 0) {
            rows[i].explain(&e);
            return;
        }
    }
    explain_rest(&e);
}
