/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The statements that set quantities to try: what if, alternative, weigh. */
#include "statement.h"

#include "ast_room.h"

static bool at_word(const mw_reading *reading, const char *word)
{
    return reading->now.kind == MW_TOKEN_NAME && mw_str_is(mw_statement_now(reading), word);
}

/* `with` or `by` between two settings. */
static bool at_joiner(const mw_reading *reading)
{
    return at_word(reading, "with") || at_word(reading, "by");
}

/* What may stand behind a value. */
static bool at_value_end(const mw_reading *reading)
{
    return reading->now.kind == MW_TOKEN_COMMA || reading->now.kind == MW_TOKEN_END ||
           at_joiner(reading) || at_word(reading, "show");
}

/* Whether the value read last is a range `low .. high`, through which steps can lead. */
static bool is_open_range(const mw_reading *reading)
{
    const mw_ast *ast = reading->ast;
    const mw_node *last = ast->node_count > 0 ? &ast->nodes[ast->node_count - 1] : NULL;
    return last && last->kind == MW_NODE_RANGE && last->b == MW_NONE;
}

/* One value; whether another follows. */
static bool read_value(mw_reading *reading, mw_item *item)
{
    mw_parser_put(reading, mw_parser_formula(reading));
    item->value_count++;
    if (at_word(reading, "step") && item->value_count == 1 && is_open_range(reading)) {
        item->stepped = true;
        return true;
    }
    if (!at_value_end(reading)) {
        mw_parser_misfit(reading);
    }
    if (reading->quiet) {
        mw_statement_resume(reading);
    }
    return reading->now.kind == MW_TOKEN_COMMA && !item->stepped;
}

/* values = formula { "," formula } | formula ".." formula "step" formula */
static void read_values(mw_reading *reading, mw_item *item)
{
    const char *begin = reading->now.begin;
    while (read_value(reading, item)) {
        mw_lexer_next(reading);
    }
    item->first_value = mw_parser_gather(reading, item->value_count);
    const char *end = reading->before_end > begin ? reading->before_end : begin;
    item->value = mw_parser_span(reading, begin, end);
}

/* setting = path "=" values */
static void read_setting(mw_reading *reading, mw_statement *statement, bool grid)
{
    if (reading->now.kind != MW_TOKEN_NAME) {
        mw_diag *diag =
            mw_statement_missing(reading, "the name of what would change is missing here");
        mw_diag_try(reading->diags, diag, "what if hull_port.heavy.plies = 2, 3, 4");
        return;
    }
    mw_item item = {.grid = grid};
    const char *begin = reading->now.begin;
    item.path = mw_parser_path(reading);
    item.name = mw_parser_span(reading, begin, reading->before_end);
    if (reading->now.kind != MW_TOKEN_EQUAL) {
        mw_statement_missing(reading, "`=` and the values to try are missing here");
        return;
    }
    mw_lexer_next(reading);
    read_values(reading, &item);
    mw_statement_add_item(reading, statement, &item);
}

/* settings = setting { ( "with" | "by" ) setting } */
static void read_settings(mw_reading *reading, mw_statement *statement)
{
    read_setting(reading, statement, false);
    while (at_joiner(reading)) {
        bool grid = at_word(reading, "by");
        mw_lexer_next(reading);
        read_setting(reading, statement, grid);
    }
}

/* The path of a value that is shown. False: there is none, which was said. */
static bool read_shown(mw_reading *reading, mw_statement *statement, bool most, const char *example)
{
    if (reading->now.kind != MW_TOKEN_NAME) {
        mw_diag *diag = mw_statement_missing(reading, "the name of a value to show is missing");
        mw_diag_try(reading->diags, diag, "%s", example);
        return false;
    }
    mw_item item = {.shown = true, .most = most};
    const char *begin = reading->now.begin;
    item.path = mw_parser_path(reading);
    item.name = mw_parser_span(reading, begin, reading->before_end);
    mw_statement_add_item(reading, statement, &item);
    return true;
}

static void begin_settings(mw_reading *reading, mw_statement *statement, mw_statement_kind kind)
{
    statement->kind = kind;
    statement->first_item = reading->ast->item_count;
    reading->joiners = true;
    reading->commas = true;
    mw_lexer_next(reading);
}

/* what_if = "what" "if" settings [ "show" path { "," path } ] */
void mw_statement_what_if(mw_reading *reading, mw_statement *statement)
{
    begin_settings(reading, statement, MW_SAY_WHAT_IF);
    mw_lexer_next(reading);
    read_settings(reading, statement);
    bool more = at_word(reading, "show");
    while (more) {
        mw_lexer_next(reading);
        more = read_shown(reading, statement, false,
                          "what if hull_port.heavy.plies = 2, 3 show job.cost") &&
               reading->now.kind == MW_TOKEN_COMMA;
    }
}

/* An alternative is one choice: each of its settings has one value. */
static void check_single(mw_reading *reading, const mw_statement *statement)
{
    for (uint32_t i = 0; i < statement->item_count; i++) {
        const mw_item *item = &reading->ast->items[statement->first_item + i];
        if (item->value_count > 1 && !reading->quiet) {
            mw_str value = {reading->base + item->value.begin, item->value.end - item->value.begin};
            mw_diag *diag = mw_lexer_error(reading, MW_CODE_SYNTAX, value,
                                           "an alternative sets each quantity to one value");
            mw_diag_try(reading->diags, diag, "several at once: what if %.*s = %.*s",
                        mw_lexer_shown((mw_str){reading->base + item->name.begin,
                                                item->name.end - item->name.begin}),
                        reading->base + item->name.begin, mw_lexer_shown(value), value.at);
        }
    }
}

/* alternative = "alternative" NAME ":" setting { "with" setting } */
void mw_statement_alternative(mw_reading *reading, mw_statement *statement)
{
    static const char example[] =
        "alternative thin: hull_port.heavy.plies = 3 with hull_port.crew = 2";
    begin_settings(reading, statement, MW_SAY_ALTERNATIVE);
    if (reading->now.kind != MW_TOKEN_NAME) {
        mw_diag *diag = mw_statement_missing(reading, "the alternative's name is missing here");
        mw_diag_try(reading->diags, diag, "%s", example);
        return;
    }
    statement->name = mw_statement_now_span(reading);
    mw_lexer_next(reading);
    if (reading->now.kind != MW_TOKEN_COLON) {
        mw_diag *diag =
            mw_statement_missing(reading, "a colon is missing behind the alternative's name");
        mw_diag_try(reading->diags, diag, "%s", example);
        return;
    }
    mw_lexer_next(reading);
    read_settings(reading, statement);
    check_single(reading, statement);
}

/* goal = [ "most" | "least" ] path */
static bool read_goal(mw_reading *reading, mw_statement *statement, const char *before)
{
    static const char example[] =
        "weigh job.cost against job.ready over hull_port.crew = 2, 3 by shop.margin = 15 %, 20 %";
    if (before && !at_word(reading, before)) {
        mw_text what = {0};
        mw_text_addf(&what, "`%s` is missing here", before);
        mw_diag *diag = mw_statement_missing(reading, mw_text_chars(&what));
        mw_text_free(&what);
        mw_diag_try(reading->diags, diag, "%s", example);
        return false;
    }
    if (before) {
        mw_lexer_next(reading);
    }
    bool most = at_word(reading, "most");
    if (most || at_word(reading, "least")) {
        mw_lexer_next(reading);
    }
    return read_shown(reading, statement, most, example);
}

/* weigh = "weigh" goal "against" goal "over" settings */
void mw_statement_weigh(mw_reading *reading, mw_statement *statement)
{
    begin_settings(reading, statement, MW_SAY_WEIGH);
    if (!read_goal(reading, statement, NULL) || !read_goal(reading, statement, "against")) {
        return;
    }
    if (!at_word(reading, "over")) {
        mw_diag *diag =
            mw_statement_missing(reading, "`over` and the inputs to try are missing here");
        mw_diag_try(reading->diags, diag,
                    "weigh job.cost against job.ready over hull_port.crew = 2, 3");
        return;
    }
    mw_lexer_next(reading);
    read_settings(reading, statement);
}
