/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lines of one recipe on those of another. `base` of a row is what `usual` means in its formula: so a
 * row that keeps the formula of the one below keeps the `base` of that, too. */
#include "mouldwright/names.h"
#include "recipe/merge.h"

static bool has(uint32_t given, const char *key)
{
    return (given & mw_keys_bit(&mw_line_keys, key)) != 0;
}

static void report_kind(mw_load *load, const mw_line_row *row, mw_type expected)
{
    mw_text words = {0};
    mw_type_words(load->calculator->measure, expected, &words);
    mw_diags_error(load->diags, MW_CODE_WRONG_KIND, row->name_at,
                   "the unit of `%.*s` must be one for %s", MW_SHOW(row->name),
                   mw_text_chars(&words));
    load->no_memory |= words.failed;
    mw_text_free(&words);
}

/* Takes over the unit that was given for showing; the kind stays what it was. */
static void take_unit(mw_load *load, mw_line_row *row, mw_type kind)
{
    if (row->unit != MW_NONE && !mw_unit_shows(load->calculator->measure, row->unit, kind)) {
        report_kind(load, row, kind);
    }
    row->type = kind;
}

static void check_limits(mw_load *load, const mw_line_row *row)
{
    mw_constant low = {0};
    mw_constant high = {0};
    mw_status of_low = MW_OK;
    mw_status of_high = MW_OK;
    if (row->low.source != MW_NONE) {
        of_low = mw_calculate_as(load->calculator, row->low, row->type, &low, load->diags);
    }
    if (row->high.source != MW_NONE) {
        of_high = mw_calculate_as(load->calculator, row->high, row->type, &high, load->diags);
    }
    load->no_memory |= of_low == MW_NO_MEMORY || of_high == MW_NO_MEMORY;
    bool both = row->low.source != MW_NONE && row->high.source != MW_NONE && of_low == MW_OK &&
                of_high == MW_OK;
    if (both && low.value > high.value) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_OUT_OF_RANGE, row->high,
                                       "`high` of `%.*s` lies below its `low`", MW_SHOW(row->name));
        mw_diag_other(load->diags, diag, row->low, "`low` is here");
    }
}

static void check_line(mw_load *load, const mw_line_row *row)
{
    if (row->type == MW_NONE) {
        return;
    }
    if (row->whole && row->type != MW_TYPE_NUMBER && row->type != MW_TYPE_PEOPLE) {
        mw_diags_error(load->diags, MW_CODE_WRONG_KIND, row->name_at,
                       "`whole` is for plain numbers, and `%.*s` is none", MW_SHOW(row->name));
    }
    if (row->warns.length > 0 && row->type != MW_TYPE_TRUTH) {
        mw_diags_error(load->diags, MW_CODE_WRONG_KIND, row->name_at,
                       "`warns` is for truths, and `%.*s` is none", MW_SHOW(row->name));
    }
    check_limits(load, row);
}

/* Finds the kind of a line that no recipe below has. */
static void settle_kind(mw_load *load, mw_line_row *row, bool of_step)
{
    const mw_standard_row *standard = of_step ? mw_standard_find(row->name) : NULL;
    if (standard == NULL) {
        if (row->type == MW_NONE) {
            mw_diag *diag = mw_diags_error(load->diags, MW_CODE_MISSING_KEY, row->name_at,
                                           "the line `%.*s` needs a `unit`", MW_SHOW(row->name));
            mw_diag_try(load->diags, diag,
                        "add `unit: kg/m2`, or `unit: \"1\"` for a plain number");
        }
        return;
    }
    mw_type kind = MW_NONE;
    mw_unit unit = MW_NONE;
    mw_status status =
        mw_unit_of_words(load->calculator->measure, mw_str_of(standard->unit), &kind, &unit);
    if (status == MW_PENDING) {
        mw_diags_error(load->diags, MW_CODE_NO_SHOP, row->name_at,
                       "`%.*s` is money, which has no currency before a shop was read",
                       MW_SHOW(row->name));
    } else if (status != MW_OK) {
        load->no_memory = true;
    } else {
        take_unit(load, row, kind);
        row->unit = row->unit == MW_NONE ? unit : row->unit;
    }
}

static mw_line_row new_line(mw_load *load, const mw_raw_line *raw, bool of_step)
{
    mw_line_row row = raw->row;
    settle_kind(load, &row, of_step);
    if (row.formula.source == MW_NONE && !row.input) {
        mw_diag *diag = mw_diags_error(load->diags, MW_CODE_MISSING_KEY, row.name_at,
                                       "the line `%.*s` needs a formula", MW_SHOW(row.name));
        mw_diag_try(load->diags, diag, "add `is: ...`, or `usual: ...` for a plain figure");
    }
    check_line(load, &row);
    return row;
}

static mw_line_row changed_line(mw_load *load, const mw_line_row *base, const mw_raw_line *raw)
{
    mw_line_row row = *base;
    mw_keys_copy(&mw_line_keys, raw->given, raw, &row, sizeof row);
    row.name_at = raw->row.name_at;
    row.input = raw->row.input;
    if (has(raw->given, "unit")) {
        take_unit(load, &row, base->type);
    }
    if (has(raw->given, "is") || has(raw->given, "usual")) {
        row.base = base;
        row.source = has(raw->given, "source") ? row.source : (mw_str){"", 0};
    }
    if (row.formula.source == MW_NONE && !row.input) {
        mw_diags_error(load->diags, MW_CODE_MISSING_KEY, row.name_at,
                       "the line `%.*s` needs a formula: it was an input without one",
                       MW_SHOW(row.name));
    }
    check_line(load, &row);
    return row;
}

static void put_lines(mw_load *load, const mw_line_stack *stack, mw_names *names, mw_line_row *rows,
                      uint32_t *count)
{
    for (uint32_t i = 0; i < stack->base_count; i++) {
        rows[i] = stack->base[i];
        load->no_memory |= mw_names_add(names, rows[i].name) == MW_NONE;
    }
    *count = stack->base_count;
    for (uint32_t i = 0; i < stack->raw_count; i++) {
        const mw_raw_line *raw = &stack->raw[i];
        uint32_t at = mw_names_find(names, raw->row.name);
        if (at == MW_NONE) {
            rows[(*count)++] = new_line(load, raw, stack->of_step);
        } else {
            rows[at] = changed_line(load, &stack->base[at], raw);
        }
    }
}

const mw_line_row *mw_lines_merge(mw_load *load, const mw_line_stack *stack, uint32_t *count)
{
    *count = 0;
    if (stack->raw_count == 0) {
        *count = stack->base_count;
        return stack->base;
    }
    size_t most = (size_t)stack->base_count + stack->raw_count;
    mw_line_row *rows = mw_load_room(load, most, sizeof *rows);
    mw_names *names = mw_names_new();
    load->no_memory |= names == NULL;
    if (rows != NULL && names != NULL) {
        put_lines(load, stack, names, rows, count);
    }
    mw_names_free(names);
    return rows;
}
