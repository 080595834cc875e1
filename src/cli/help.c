/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Help: one screen of overview, a page a statement, function, unit or message, all from the tables of the library. */
#include "cli.h"

#include "complete.h"

#include "mouldwright/function.h"
#include "mouldwright/suggest.h"
#include "mouldwright/unit.h"

#define OVERVIEW_COLUMN 15

/* `  word         about`, the sentence broken at blanks to the width of the screen. */
static void overview_line(const mw_command_row *row, size_t width, mw_text *out)
{
    mw_text_addf(out, "  %s", row->word);
    size_t column = 2 + mw_utf8_columns(mw_str_of(row->word));
    mw_text_fill(out, ' ', column < OVERVIEW_COLUMN ? OVERVIEW_COLUMN - column : 1);
    column = OVERVIEW_COLUMN;
    for (const char *at = row->about; *at;) {
        size_t length = 0;
        while (at[length] != ' ' && at[length] != '\0') {
            length++;
        }
        if (column + length > width) {
            mw_text_addc(out, '\n');
            mw_text_fill(out, ' ', OVERVIEW_COLUMN);
            column = OVERVIEW_COLUMN;
        }
        mw_text_add(out, at, length);
        at += length + (at[length] == ' ');
        mw_text_adds(out, *at ? " " : "");
        column += length + 1;
    }
    mw_text_addc(out, '\n');
}

static void overview(size_t width, mw_text *out)
{
    mw_text_adds(
        out, "A job is made of lines; type one and press Enter. Values follow every change.\n\n");
    const mw_command_row *const tables[] = {mw_statement_rows(), mw_command_rows()};
    for (size_t t = 0; t < sizeof tables / sizeof *tables; t++) {
        for (const mw_command_row *row = tables[t]; row->word; row++) {
            overview_line(row, width, out);
        }
    }
    mw_text_adds(out, "\n  hull.area              shows a value; any formula does\n"
                      "  hull.glass.plies = 2   changes one quantity of one step of one mould\n"
                      "  help WORD              a page on a statement, a function, a message;\n"
                      "                         also: help language, functions, units, errors,\n"
                      "                         recipe-files\n");
}

static void row_page(const mw_command_row *row, mw_text *out)
{
    mw_text_addf(out, "%s\n\n  %s\n", row->about, row->syntax);
    if (row->example) {
        mw_text_addf(out, "\nexample\n  %s\n", row->example);
    }
}

static bool find_row(mw_str word, mw_text *out)
{
    const mw_command_row *const tables[] = {mw_statement_rows(), mw_command_rows()};
    bool found = false;
    for (size_t t = 0; t < sizeof tables / sizeof *tables; t++) {
        for (const mw_command_row *row = tables[t]; row->word; row++) {
            mw_str name = mw_str_of(row->word);
            bool begins = name.length > word.length && name.at[word.length] == ' ' &&
                          mw_str_equal((mw_str){name.at, word.length}, word);
            if (begins || mw_str_equal(word, name)) {
                mw_text_adds(out, found ? "\n" : "");
                row_page(row, out);
                found = true;
            }
        }
    }
    return found;
}

static void function_line(const mw_function *function, mw_text *out)
{
    mw_text_addf(out, "  %s(", function->name);
    for (size_t i = 0; i < MW_ARGUMENTS_MAX && function->takes[i]; i++) {
        mw_text_addf(out, "%s%s", i ? ", " : "",
                     function->names[i] ? function->names[i] : function->takes[i]);
    }
    mw_text_addf(out, ")  %s\n", function->about);
}

static void function_page(const mw_function *function, mw_text *out)
{
    function_line(function, out);
    for (size_t i = 0; i < MW_ARGUMENTS_MAX && function->takes[i]; i++) {
        mw_text_addf(out, "    %s: %s\n", function->names[i] ? function->names[i] : "value",
                     function->takes[i]);
    }
    mw_text_addf(out, "    gives: %s\n", function->gives);
    if (function->example) {
        mw_text_addf(out, "\nexample\n  %s\n  %s\n", function->example,
                     function->result ? function->result : "");
    }
    if (function->source) {
        mw_text_addf(out, "\nsource: %s\n", function->source);
    }
}

/* All functions: those of the language, then those of the job. */
static bool each_function(mw_str word, mw_text *out)
{
    size_t count = 0;
    const mw_function *built_in = mw_functions(&count);
    mw_host host = mw_job_functions();
    bool all = word.length == 0;
    bool found = false;
    for (size_t i = 0; i < count + host.count; i++) {
        const mw_function *function = i < count ? &built_in[i] : &host.functions[i - count];
        if (all) {
            function_line(function, out);
        } else if (mw_str_is(word, function->name)) {
            function_page(function, out);
            found = true;
        }
    }
    return all || found;
}

static void unit_line(void *context, mw_str name, mw_str about, mw_type type, double scale)
{
    mw_text *out = context;
    (void)type;
    (void)scale;
    mw_text_addf(out, "  %.*s", (int)name.length, name.at);
    size_t columns = mw_utf8_columns(name);
    mw_text_fill(out, ' ', columns < 12 ? 12 - columns : 1);
    mw_text_addf(out, "%.*s\n", (int)about.length, about.at);
}

static bool error_page(mw_str word, mw_text *out)
{
    bool all = mw_str_is(word, "errors");
    bool found = all;
    for (int i = 0; i < MW_CODE_COUNT; i++) {
        mw_code code = (mw_code)i;
        if (all) {
            mw_text_addf(out, "  %-18s %s\n", mw_code_word(code), mw_code_title(code));
        } else if (mw_str_is(word, mw_code_word(code))) {
            mw_text_addf(out, "%s: %s\n  what to do: %s\n", mw_code_word(code), mw_code_title(code),
                         mw_code_advice(code));
            found = true;
        }
    }
    return found;
}

/* Pages that are no row of a table. */
typedef struct topic_row {
    const char *word;
    const char *text;
} topic_row;

static const topic_row topics[] = {
    {"language",
     "numbers carry units: 11.4 m2, 600 g/m2, 58 EUR/h, 1/2 in, 20 degC, 8 %\n"
     "dates: 2027-03-11   text: \"...\"   lists: [2, 3, 4]   ranges: 6 .. 8 .. 12 h\n"
     "yes no, + - * / ^, < <= = <> >= >, and or not, if C then A else B,\n"
     "FORMULA as UNIT\n"
     "names by path: hull.heavy.plies; moulds.area is the list over moulds,\n"
     "hull.steps.hours that over the steps of a mould; sum mean smallest largest count\n"
     "a line: NAME = FORMULA; an override: MOULD.STEP.QUANTITY = FORMULA, where\n"
     "`usual` is what the recipe says; restore PATH puts it back; # begins a comment\n"},
    {"recipe-files",
     "Recipes, materials, shops and cautions are YAML files, to be read and changed.\n\n"
     "  NAME.yaml          a recipe\n"
     "  materials/*.yaml   materials: densities, times, packs, prices\n"
     "  shops/NAME.yaml    a shop: people, machines, shifts, rates\n"
     "  cautions.yaml      cautions\n\n"
     "They are looked for in the folders of MOULDWRIGHT_RECIPES, in mouldwright/\n"
     "recipes of your data folder, beside the job and in recipes there, then among\n"
     "those that come with the program. `recipes` and `materials` list them.\n\n"
     "example: a recipe\n"
     "  recipe: flat panel\n"
     "  inputs:\n"
     "    area: {unit: m2, about: moulded surface}\n"
     "    edge: {unit: m, usual: 4 * sqrt(area)}\n"
     "  steps:\n"
     "    - step: coat\n"
     "      trade: laminator\n"
     "      lines:\n"
     "        hours: {is: 0.2 h/m2 * area, source: \"common practice, no source\"}\n\n"
     "example: the same with more work at the edge\n"
     "  recipe: edged panel\n"
     "  builds_on: flat panel\n"
     "  steps:\n"
     "    - step: coat\n"
     "      lines:\n"
     "        hours: {is: usual + 0.1 h/m * edge}\n\n"
     "A key that is not known is answered with those that are. All keys and forms:\n"
     "`man 5 mouldwright-recipe`, or docs/recipe-files.md where the source is.\n"},
    {"functions", NULL},
    {"units", NULL},
    {"errors", NULL},
};

static bool topic_page(mw_str word, mw_text *out)
{
    for (size_t i = 0; i < sizeof topics / sizeof *topics; i++) {
        if (topics[i].text && mw_str_is(word, topics[i].word)) {
            mw_text_adds(out, topics[i].text);
            return true;
        }
    }
    return false;
}

bool cli_help(cli *program, mw_str word, mw_text *out)
{
    if (word.length == 0) {
        overview(program->style.width, out);
        return true;
    }
    if (topic_page(word, out) ||
        (mw_str_is(word, "syntax") && topic_page(mw_str_of("language"), out))) {
        return true;
    }
    if (mw_str_is(word, "functions")) {
        return each_function((mw_str){0}, out);
    }
    if (mw_str_is(word, "units")) {
        mw_unit_each(mw_job_measure(program->job), unit_line, out);
        return true;
    }
    bool found = find_row(word, out);
    found = each_function(word, out) || found;
    return error_page(word, out) || found;
}

void cli_help_words(completion *to)
{
    const mw_command_row *const tables[] = {mw_statement_rows(), mw_command_rows()};
    for (size_t i = 0; i < sizeof topics / sizeof *topics; i++) {
        completion_offer(to, mw_str_of(topics[i].word), "");
    }
    for (size_t t = 0; t < sizeof tables / sizeof *tables; t++) {
        for (const mw_command_row *row = tables[t]; row->word; row++) {
            completion_offer(to, mw_str_of(row->word), "");
        }
    }
    size_t count = 0;
    const mw_function *built_in = mw_functions(&count);
    mw_host host = mw_job_functions();
    for (size_t i = 0; i < count + host.count; i++) {
        completion_offer(
            to, mw_str_of(i < count ? built_in[i].name : host.functions[i - count].name), "");
    }
    for (int i = 0; i < MW_CODE_COUNT; i++) {
        completion_offer(to, mw_str_of(mw_code_word((mw_code)i)), "");
    }
}
