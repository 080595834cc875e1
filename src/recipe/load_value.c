/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Values of recipe files: texts, lists of texts, formulas, units, names. */
#include "recipe/load.h"

#include "mouldwright/money.h"
#include "mouldwright/parse.h"

bool mw_load_text(mw_load *load, const mw_yaml_node *node, mw_str *out)
{
    if (node->kind != MW_YAML_SCALAR) {
        mw_load_wrong_form(load, node, "a text");
        return false;
    }
    *out = mw_load_keep(load, node);
    return true;
}

/* Names in a list are looked up one by one, so that their number is limited. */
enum { MOST_TEXTS = 4096 };

bool mw_load_texts(mw_load *load, const mw_yaml_node *node, mw_name_list *out)
{
    if (!mw_load_is(load, node, MW_YAML_LIST)) {
        return false;
    }
    if (node->count > MOST_TEXTS) {
        mw_diags_error(load->diags, MW_CODE_TOO_LONG, mw_node_place(node),
                       "a list of %u texts; at most %d are read", (unsigned)node->count,
                       MOST_TEXTS);
        return false;
    }
    mw_str *items = mw_load_room(load, node->count, sizeof *items);
    mw_span *spans = mw_load_room(load, node->count, sizeof *spans);
    if (items == NULL || spans == NULL) {
        return false;
    }
    bool fine = true;
    uint32_t count = 0;
    for (const mw_yaml_node *child = node->first; child != NULL; child = child->next) {
        fine = mw_load_text(load, child, &items[count]) && fine;
        spans[count++] = mw_node_place(child);
    }
    *out = (mw_name_list){.items = items, .spans = spans, .count = count};
    return fine;
}

bool mw_load_formula(mw_load *load, const mw_yaml_node *node, mw_span *out)
{
    if (node->kind != MW_YAML_SCALAR || mw_str_trim(node->text).length == 0) {
        mw_load_wrong_form(load, node, "a formula");
        return false;
    }
    if (!node->in_place) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_YAML_FORMULA, mw_node_place(node),
                                       "this formula is folded over several lines or has escapes, "
                                       "so that places in it could not be shown");
        mw_diag_try(load->diags, diag,
                    "put it on one line, in single quotes where needed, or behind `|`");
        return false;
    }
    mw_status status = mw_calculator_read(load->calculator, node->span, load->diags);
    load->no_memory |= status == MW_NO_MEMORY;
    if (status == MW_OK) {
        *out = node->span;
    }
    return status == MW_OK;
}

/* --- units ----------------------------------------------------------------------------------- */

/* Kinds that have a word instead of a unit. */
static const struct {
    const char *word;
    mw_type type;
} kind_words[] = {
    {"1", MW_TYPE_NUMBER},      {"labour", MW_TYPE_LABOUR}, {"time", MW_TYPE_TIME},
    {"people", MW_TYPE_PEOPLE}, {"truth", MW_TYPE_TRUTH},   {"text", MW_TYPE_TEXT},
    {"date", MW_TYPE_DATE},
};

static mw_status money_of_shop(mw_measure *measure, mw_type *type, mw_unit *unit)
{
    uint16_t currency = mw_money_base_of(measure);
    if (currency == 0) {
        return MW_PENDING;
    }
    *type = mw_money_type(measure, currency);
    *unit = mw_unit_usual(measure, *type);
    return *type == MW_NONE || *unit == MW_NONE ? MW_NO_MEMORY : MW_OK;
}

mw_status mw_unit_of_words(mw_measure *measure, mw_str words, mw_type *type, mw_unit *unit)
{
    for (size_t i = 0; i < sizeof kind_words / sizeof kind_words[0]; i++) {
        if (mw_str_is(words, kind_words[i].word)) {
            mw_type found = kind_words[i].type;
            bool hours = found == MW_TYPE_LABOUR || found == MW_TYPE_TIME;
            *type = found;
            *unit = hours ? mw_unit_usual(measure, found) : MW_UNIT_ONE;
            return *unit == MW_NONE ? MW_NO_MEMORY : MW_OK;
        }
    }
    if (mw_str_is(words, "money")) {
        return money_of_shop(measure, type, unit);
    }
    /* One piece is a plain number, whose unit is spelled as the measure context does. */
    words = mw_str_is(words, "piece") ? mw_str_of("pcs") : words;
    size_t used = 0;
    mw_status status = mw_unit_read(measure, words, &used, unit);
    if (status == MW_OK && used != words.length) {
        return MW_NOT_FOUND;
    }
    if (status == MW_OK) {
        *type = mw_unit_type(measure, *unit);
    }
    return status;
}

static void report_unit(mw_load *load, const mw_yaml_node *node, mw_status status)
{
    mw_str words = mw_str_trim(node->text);
    mw_span at = mw_node_place(node);
    if (status == MW_NO_MEMORY) {
        load->no_memory = true;
    } else if (status == MW_PENDING) {
        mw_diags_error(load->diags, MW_CODE_NO_SHOP, at,
                       "the kind `money` has no currency before a shop was read");
    } else if (status == MW_FAILED) {
        mw_diags_error(load->diags, MW_CODE_BAD_UNIT, at,
                       "the unit `%.*s` has a power out of range", MW_SHOW(words));
    } else {
        mw_suggest near = mw_load_suggest(load, words);
        mw_unit_suggest(load->calculator->measure, &near);
        for (size_t i = 0; i < sizeof kind_words / sizeof kind_words[0]; i++) {
            mw_suggest_offer(&near, mw_str_of(kind_words[i].word));
        }
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_UNKNOWN_UNIT, at, "`%.*s` is no unit",
                                       MW_SHOW(words));
        mw_load_mean(load, diag, &near);
    }
}

bool mw_load_unit(mw_load *load, const mw_yaml_node *node, mw_type *type, mw_unit *unit)
{
    if (node->kind != MW_YAML_SCALAR || mw_str_trim(node->text).length == 0) {
        mw_load_wrong_form(load, node, "a unit such as kg/m2, or \"1\" for a plain number");
        return false;
    }
    mw_status status =
        mw_unit_of_words(load->calculator->measure, mw_str_trim(node->text), type, unit);
    if (status != MW_OK) {
        report_unit(load, node, status);
    }
    return status == MW_OK;
}

bool mw_load_figure(mw_load *load, mw_span formula, mw_type type, mw_constant *out)
{
    if (formula.source == MW_NONE) {
        return false;
    }
    mw_status status = type == MW_NONE
                           ? mw_calculate(load->calculator, formula, out, load->diags)
                           : mw_calculate_as(load->calculator, formula, type, out, load->diags);
    load->no_memory |= status == MW_NO_MEMORY;
    return status == MW_OK;
}

/* --- names ----------------------------------------------------------------------------------- */

/* Words that begin a path of their own in formulas. `usual` and the words of the language are refused by
 * mw_is_name(). */
static const char *const reserved[] = {"usual", "steps",   "shop",     "moulds",
                                       "job",   "follows", "materials"};

bool mw_load_name(mw_load *load, mw_str name, mw_span at, const char *what)
{
    for (size_t i = 0; i < sizeof reserved / sizeof reserved[0]; i++) {
        if (mw_str_is(name, reserved[i])) {
            mw_diags_error(load->diags, MW_CODE_NAME_TAKEN, at,
                           "%s cannot be called `%.*s`: the word means something else in formulas",
                           what, MW_SHOW(name));
            return false;
        }
    }
    if (mw_is_name(name)) {
        return true;
    }
    mw_diag *diag = mw_diags_error(load->diags, MW_CODE_YAML_FORM, at,
                                   "%s cannot be called `%.*s`: formulas could not read that name",
                                   what, MW_SHOW(name));
    mw_diag_try(load->diags, diag,
                "use letters, digits and `_`, a letter first, and no word of the language");
    return false;
}
