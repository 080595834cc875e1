/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Help: one screen of overview; a page a statement, topic, function, unit or message, from the tables that statements,
 * functions and messages themselves are read with, and from help.txt. */
#include "help.h"

#include <string.h>

#include "cli.h"
#include "complete.h"

#include "mouldwright/function.h"
#include "mouldwright/suggest.h"
#include "mouldwright/unit.h"

enum { GROUP_COLUMN = 12, FORM_COLUMN = 33, WORD_COLUMN = 15, FUNCTION_COLUMN = 28 };

/* Where sheets go: to people, or to JSON; or nowhere, when names are only compared. */
typedef struct help_run {
    mw_str word;
    const mw_style *style;
    mw_text *out;
    mw_json json;
    size_t found;
} help_run;

enum { TABLE_COUNT = 2 };

static const mw_command_row *table_at(size_t at)
{
    return at == 0 ? mw_statement_rows() : mw_command_rows();
}

/* The page of a word; a command has one of its own where a statement has the same word. */
static const help_page *find_page(mw_str word, bool command)
{
    const help_page *found = NULL;
    for (const help_page *page = help_pages; page->word; page++) {
        if (mw_str_is(word, page->word) && (page->command == command || !page->command)) {
            found = !found || page->command ? page : found;
        }
    }
    return found;
}

static void show_sheet(help_run *run, const help_sheet *sheet)
{
    if (run->style->json) {
        help_sheet_json(sheet, &run->json);
    } else {
        mw_text_adds(run->out, run->found > 0 ? "\n" : "");
        help_sheet_write(sheet, run->style, run->out);
    }
    run->found++;
}

/* ---- overview ---- */

/* The rows of both tables in one sequence; NULL past the end. */
static const mw_command_row *row_at(size_t at)
{
    for (size_t t = 0; t < TABLE_COUNT; t++) {
        for (const mw_command_row *row = table_at(t); row->word; row++) {
            if (at-- == 0) {
                return row;
            }
        }
    }
    return NULL;
}

static const char *group_of(const mw_command_row *row)
{
    return row->group ? row->group : "more";
}

static bool group_before(size_t at)
{
    for (size_t i = 0; i < at; i++) {
        if (strcmp(group_of(row_at(i)), group_of(row_at(at))) == 0) {
            return true;
        }
    }
    return false;
}

/* One group with all its words, each once. */
static void overview_group(const char *group, const mw_style *style, mw_text *out)
{
    size_t column = GROUP_COLUMN;
    mw_text_addf(out, style->plain ? "%s:" : "  %-10s", group);
    const mw_command_row *row;
    for (size_t i = 0; (row = row_at(i)) != NULL; i++) {
        if (strcmp(group_of(row), group) != 0) {
            continue;
        }
        size_t length = strlen(row->word);
        if (!style->plain && column + 2 + length > style->width) {
            mw_text_addc(out, '\n');
            mw_text_fill(out, ' ', GROUP_COLUMN);
            column = GROUP_COLUMN;
        }
        mw_text_addf(out, style->plain ? " %s," : "  %s", row->word);
        column += 2 + length;
    }
    if (style->plain) {
        out->length--;
    }
    mw_text_addc(out, '\n');
}

static void overview(const mw_style *style, mw_text *out)
{
    static const char *const forms[][2] = {
        {"FORMULA", "shows its value: skiff.area, sum(moulds.cost)"},
        {"NAME = FORMULA", "a line of the job, new or changed"},
        {"MOULD.STEP.QUANTITY = FORMULA", "changes what the recipe says"},
        {"help WORD", "a page on a statement, function, unit or message"},
        {"help TOPIC", "language, overrides, functions, units, errors, recipe-files, session"},
    };
    const char *gap = style->plain ? "" : "\n";
    help_line_write("A job is made of lines; each change answers at once with what it does.", style,
                    out);
    mw_text_adds(out, gap);
    for (size_t i = 0; row_at(i) != NULL; i++) {
        if (!group_before(i)) {
            overview_group(group_of(row_at(i)), style, out);
        }
    }
    mw_text_adds(out, gap);
    for (size_t i = 0; i < sizeof forms / sizeof *forms; i++) {
        help_row_write((help_row){forms[i][0], forms[i][1], FORM_COLUMN}, style, out);
    }
    mw_text_adds(out, gap);
    help_line_write("Tab completes, Ctrl-C drops the line or stops the work, Ctrl-D leaves.", style,
                    out);
}

static void overview_json(mw_text *out)
{
    mw_json json = {.out = out};
    mw_json_open(&json, '{');
    mw_json_key(&json, "statements");
    mw_json_open(&json, '[');
    const mw_command_row *row;
    for (size_t i = 0; (row = row_at(i)) != NULL; i++) {
        const char *const members[][2] = {{"word", row->word},
                                          {"syntax", row->syntax},
                                          {"about", row->about},
                                          {"group", group_of(row)}};
        mw_json_open(&json, '{');
        for (size_t m = 0; m < sizeof members / sizeof *members; m++) {
            mw_json_key(&json, members[m][0]);
            mw_json_add_string(&json, mw_str_of(members[m][1]));
        }
        mw_json_close(&json, '}');
    }
    mw_json_close(&json, ']');
    mw_json_key(&json, "topics");
    mw_json_open(&json, '[');
    for (const help_page *page = help_pages; page->word; page++) {
        if (page->about) {
            mw_json_add_string(&json, mw_str_of(page->word));
        }
    }
    mw_json_close(&json, ']');
    mw_json_close(&json, '}');
    mw_text_addc(out, '\n');
}

/* ---- statements and topics ---- */

static void find_rows(help_run *run)
{
    for (size_t t = 0; t < TABLE_COUNT; t++) {
        for (const mw_command_row *row = table_at(t); row->word; row++) {
            mw_str name = mw_str_of(row->word);
            bool begins = name.length > run->word.length && name.at[run->word.length] == ' ' &&
                          mw_str_equal((mw_str){name.at, run->word.length}, run->word);
            if (begins || mw_str_equal(run->word, name)) {
                help_sheet sheet = {.word = row->word,
                                    .kind = "statement",
                                    .about = mw_str_of(row->about),
                                    .syntax = mw_str_of(row->syntax)};
                help_sheet_add(&sheet, find_page(name, t == 1));
                show_sheet(run, &sheet);
            }
        }
    }
}

static void find_topic(help_run *run)
{
    const help_page *page = find_page(run->word, false);
    if (page && page->about) {
        help_sheet sheet = {.word = page->word,
                            .kind = "topic",
                            .about = mw_str_of(page->about),
                            .syntax = mw_str_of(page->syntax)};
        help_sheet_add(&sheet, page);
        show_sheet(run, &sheet);
    }
}

/* ---- functions ---- */

/* All functions: those of the language, then those of the job. NULL past the end. */
static const mw_function *function_at(size_t at)
{
    size_t count = 0;
    const mw_function *built_in = mw_functions(&count);
    mw_host host = mw_job_functions();
    if (at < count) {
        return &built_in[at];
    }
    return at - count < host.count ? &host.functions[at - count] : NULL;
}

static void show_function(help_run *run, const mw_function *function)
{
    mw_text syntax = {0};
    mw_text text = {0};
    mw_text_addf(&syntax, "%s(", function->name);
    for (size_t i = 0; i < MW_ARGUMENTS_MAX && function->takes[i]; i++) {
        const char *name = function->names[i] ? function->names[i] : "value";
        mw_text_addf(&syntax, "%s%s", i ? ", " : "", name);
        mw_text_addf(&text, "%s: %s\n", name, function->takes[i]);
    }
    mw_text_adds(&syntax, ")");
    mw_text_addf(&text, "gives: %s\n", function->gives);
    help_sheet sheet = {.word = function->name,
                        .kind = "function",
                        .about = mw_str_of(function->about),
                        .syntax = {mw_text_chars(&syntax), syntax.length},
                        .see = "functions",
                        .source = function->source};
    mw_text answer = {0};
    if (function->example) {
        mw_text_addf(&answer, "%s\n", function->result);
        sheet.examples[sheet.example_count++] =
            (help_example){function->example, mw_text_chars(&answer)};
    }
    help_sheet_add(&sheet, find_page(run->word, false));
    sheet.text = (mw_str){mw_text_chars(&text), text.length};
    show_sheet(run, &sheet);
    run->out->failed = run->out->failed || syntax.failed || text.failed || answer.failed;
    mw_text_free(&answer);
    mw_text_free(&text);
    mw_text_free(&syntax);
}

static void find_function(help_run *run)
{
    const mw_function *function;
    for (size_t i = 0; (function = function_at(i)) != NULL; i++) {
        if (mw_str_is(run->word, function->name)) {
            show_function(run, function);
        }
    }
}

/* ---- units and messages ---- */

static void take_about(void *context, mw_str name, mw_str about, mw_type type, double scale)
{
    help_sheet *sheet = context;
    (void)type, (void)scale;
    if (mw_str_is(name, sheet->word)) {
        sheet->about = about;
    }
}

/* A unit by its name, also with a prefix: what kind it measures. */
static void find_unit(help_run *run, mw_measure *measure)
{
    mw_text word = {0};
    mw_text about = {0};
    mw_unit unit = MW_UNIT_ONE;
    size_t used = 0;
    mw_text_add_str(&word, run->word);
    if (run->found == 0 && mw_unit_read(measure, run->word, &used, &unit) == MW_OK &&
        used == run->word.length) {
        mw_text_adds(&about, "measures ");
        mw_type_words(measure, mw_unit_type(measure, unit), &about);
        mw_text_adds(&about, ".");
        help_sheet sheet = {.word = mw_text_chars(&word), .kind = "unit", .see = "units"};
        sheet.about = (mw_str){mw_text_chars(&about), about.length};
        mw_unit_each(measure, take_about, &sheet);
        show_sheet(run, &sheet);
    }
    run->out->failed = run->out->failed || word.failed || about.failed;
    mw_text_free(&about);
    mw_text_free(&word);
}

static void find_code(help_run *run)
{
    for (int i = 0; i < MW_CODE_COUNT; i++) {
        mw_code code = (mw_code)i;
        if (mw_str_is(run->word, mw_code_word(code))) {
            mw_text text = {0};
            mw_text_addf(&text, "what to do: %s\n", mw_code_advice(code));
            help_sheet sheet = {.word = mw_code_word(code),
                                .kind = "message",
                                .about = mw_str_of(mw_code_title(code)),
                                .text = {mw_text_chars(&text), text.length},
                                .see = "errors"};
            show_sheet(run, &sheet);
            mw_text_free(&text);
        }
    }
}

/* ---- lists behind a topic ---- */

typedef struct unit_list {
    const mw_style *style;
    mw_text *out;
} unit_list;

static void unit_line(void *context, mw_str name, mw_str about, mw_type type, double scale)
{
    const unit_list *list = context;
    mw_text word = {0};
    mw_text says = {0};
    (void)type, (void)scale;
    mw_text_add_str(&word, name);
    mw_text_add_str(&says, about);
    help_row_write((help_row){mw_text_chars(&word), mw_text_chars(&says), WORD_COLUMN}, list->style,
                   list->out);
    list->out->failed = list->out->failed || word.failed || says.failed;
    mw_text_free(&says);
    mw_text_free(&word);
}

/* What a topic lists besides its page. */
static void add_list(cli *program, mw_str topic, mw_text *out)
{
    const mw_style *style = &program->style;
    const char *gap = style->plain ? "" : "\n";
    if (mw_str_is(topic, "functions")) {
        const mw_function *function;
        mw_text_adds(out, gap);
        for (size_t i = 0; (function = function_at(i)) != NULL; i++) {
            help_row_write((help_row){function->name, function->about, FUNCTION_COLUMN}, style,
                           out);
        }
    } else if (mw_str_is(topic, "units")) {
        unit_list list = {style, out};
        mw_text_adds(out, gap);
        mw_unit_each(mw_job_measure(program->job), unit_line, &list);
    } else if (mw_str_is(topic, "errors")) {
        mw_text_adds(out, gap);
        for (int i = 0; i < MW_CODE_COUNT; i++) {
            mw_code code = (mw_code)i;
            help_row_write((help_row){mw_code_word(code), mw_code_title(code), FUNCTION_COLUMN},
                           style, out);
        }
    }
}

bool cli_help(cli *program, mw_str word, mw_text *out)
{
    const mw_style *style = &program->style;
    if (word.length == 0) {
        style->json ? overview_json(out) : overview(style, out);
        return true;
    }
    help_run run = {.word = word, .style = style, .out = out, .json = {.out = out}};
    if (style->json) {
        mw_json_open(&run.json, '{');
        mw_json_key(&run.json, "pages");
        mw_json_open(&run.json, '[');
    }
    find_rows(&run);
    find_topic(&run);
    find_function(&run);
    find_code(&run);
    find_unit(&run, mw_job_measure(program->job));
    if (style->json) {
        mw_json_close(&run.json, ']');
        mw_json_close(&run.json, '}');
        mw_text_addc(out, '\n');
    } else {
        add_list(program, word, out);
    }
    return run.found > 0;
}

/* ---- all words ---- */

static void each_word(void (*each)(void *context, mw_str word), void *context)
{
    for (const help_page *page = help_pages; page->word; page++) {
        if (page->about) {
            each(context, mw_str_of(page->word));
        }
    }
    const mw_command_row *row;
    for (size_t i = 0; (row = row_at(i)) != NULL; i++) {
        each(context, mw_str_of(row->word));
    }
    const mw_function *function;
    for (size_t i = 0; (function = function_at(i)) != NULL; i++) {
        each(context, mw_str_of(function->name));
    }
    for (int i = 0; i < MW_CODE_COUNT; i++) {
        each(context, mw_str_of(mw_code_word((mw_code)i)));
    }
}

static void offer_completion(void *context, mw_str word)
{
    completion_offer(context, word, "");
}

void cli_help_words(completion *to)
{
    each_word(offer_completion, to);
}

static void offer_suggestion(void *context, mw_str word)
{
    mw_suggest_offer(context, word);
}

mw_str cli_help_nearest(mw_str word)
{
    mw_suggest nearest;
    mw_suggest_start(&nearest, word);
    each_word(offer_suggestion, &nearest);
    return nearest.best;
}
