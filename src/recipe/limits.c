/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Limits of lines, losses and values of a shop, checked on plain figures. */
#include "recipe/limits.h"

#include <math.h>

#include "mouldwright/number.h"

/* clang-format off */
static const mw_shop_known shop_known[] = {
    {"productive_share", "1",    0, 1,        true,  false, "more than 0 %, up to 100 %"},
    {"absence",          "1",    0, 1,        false, true,  "from 0 % to less than 100 %"},
    {"overhead",         "1",    0, HUGE_VAL, false, false, "0 % or more"},
    {"margin",           "1",    0, 1,        false, true,  "from 0 % to less than 100 %: it is a share of the price"},
    {"tax",              "1",    0, HUGE_VAL, false, false, "0 % or more"},
    {"overhead_material", "1",   0, HUGE_VAL, false, false, "0 % or more"},
    {"overhead_machine", "1",    0, HUGE_VAL, false, false, "0 % or more"},
    {"overhead_outside", "1",    0, HUGE_VAL, false, false, "0 % or more"},
    {"contingency",      "1",    0, HUGE_VAL, false, false, "0 % or more"},
    {"markup",           "1",    0, HUGE_VAL, false, false, "0 % or more: it is a share of the cost"},
    {"discount",         "1",    0, 1,        false, true,  "from 0 % to less than 100 %"},
    {"left_over_charged", "1",   0, 1,        false, false, "from 0 % to 100 %"},
    {"offer_step",       "1",    0, HUGE_VAL, false, false, "0 or more, in units of the currency"},
    {"learning",         "1",    0.5, 1,      true,  false, "more than 50 %, up to 100 %"},
    {"pulls",            "1",    1, 1000000,  false, false, "from 1 to a million"},
    {"offer_valid",      "d",    0, HUGE_VAL, false, false, "0 d or more"},
    {"next_job",         "d",    0, HUGE_VAL, false, false, "0 d or more"},
    {"cure_reference",   "degC", 0, HUGE_VAL, true,  false, "above absolute zero"},
    {"cure_doubling",    "K",    0, HUGE_VAL, true,  false, "more than 0 K"},
    {"day_warmer",       "K",    -HUGE_VAL, HUGE_VAL, false, false, "any difference"},
    {"night_warmer",     "K",    -HUGE_VAL, HUGE_VAL, false, false, "any difference"},
    {NULL, NULL, 0, 0, false, false, NULL},
};
/* clang-format on */

const mw_shop_known *mw_shop_known_rows(void)
{
    return shop_known;
}

const mw_shop_known *mw_shop_known_find(mw_str name)
{
    for (const mw_shop_known *row = shop_known; row->name != NULL; row++) {
        if (mw_str_is(name, row->name)) {
            return row;
        }
    }
    return NULL;
}

bool mw_shop_known_allows(const mw_shop_known *known, double value)
{
    bool above = known->low_open ? value > known->low : value >= known->low;
    bool below = known->high_open ? value < known->high : value <= known->high;
    return above && below;
}

void mw_limits_start(mw_limits *limits, mw_load *load)
{
    *limits = (mw_limits){.load = load};
    load->no_memory |= mw_diags_start(&limits->unsaid) != MW_OK;
    limits->unsaid.limit = 0; /* nobody reads them: only counted, not worded */
}

void mw_limits_end(mw_limits *limits)
{
    mw_diags_free(&limits->unsaid);
}

/* Works a formula out if it is a plain figure of that type. */
static bool find_figure(mw_limits *limits, mw_span formula, mw_type type, mw_constant *out)
{
    mw_load *load = limits->load;
    if (formula.source == MW_NONE || type == MW_NONE || load->no_memory) {
        return false;
    }
    mw_diags_clear(&limits->unsaid);
    mw_status status = mw_calculate_as(load->calculator, formula, type, out, &limits->unsaid);
    load->no_memory |= status == MW_NO_MEMORY;
    return status == MW_OK;
}

static const char *words_of(mw_limits *limits, double value, mw_type type, mw_unit unit)
{
    mw_load *load = limits->load;
    mw_text text = {0};
    mw_value_words(load->calculator->measure, value, type, unit, &text);
    const char *words = mw_arena_print(load->diags->arena, "%s", mw_text_chars(&text));
    load->no_memory |= words == NULL || text.failed;
    mw_text_free(&text);
    return words == NULL ? "" : words;
}

/* What rounding may add when one value is written in two units. */
static double slack_of(double limit)
{
    return 1e-12 * fabs(limit);
}

static void report_line(mw_limits *limits, const mw_line_row *row, const mw_constant *low,
                        const mw_constant *high, const mw_constant *value)
{
    mw_diags *diags = limits->load->diags;
    double shown = value->low < low->value     ? value->low
                   : value->high > high->value ? value->high
                                               : value->value;
    const char *is = words_of(limits, shown, row->type, row->unit);
    mw_text allowed = {0};
    mw_text_adds(&allowed, row->whole ? "whole numbers" : "values");
    if (isfinite(low->value)) {
        mw_text_addf(&allowed, " from %s", words_of(limits, low->value, row->type, row->unit));
    }
    if (isfinite(high->value)) {
        mw_text_addf(&allowed, " up to %s", words_of(limits, high->value, row->type, row->unit));
    }
    mw_diag *diag =
        mw_diags_error(diags, MW_CODE_OUT_OF_RANGE, row->formula, "`%.*s` is %s; allowed are %s",
                       MW_SHOW(row->name), is, mw_text_chars(&allowed));
    mw_span other = row->low.source != MW_NONE ? row->low : row->high;
    if (other.source != MW_NONE) {
        mw_diag_other(diags, diag, other, "its limits stand here");
    }
    limits->load->no_memory |= allowed.failed;
    mw_text_free(&allowed);
}

void mw_limits_line(mw_limits *limits, const mw_line_row *row, bool of_step)
{
    mw_constant value;
    mw_constant low = {.value = -HUGE_VAL};
    mw_constant high = {.value = HUGE_VAL};
    if (!find_figure(limits, row->formula, row->type, &value)) {
        return;
    }
    if (of_step && mw_standard_find(row->name) != NULL && value.low < 0) {
        mw_diags_error(limits->load->diags, MW_CODE_OUT_OF_RANGE, row->formula,
                       "`%.*s` cannot be less than 0", MW_SHOW(row->name));
        return;
    }
    find_figure(limits, row->low, row->type, &low);
    find_figure(limits, row->high, row->type, &high);
    if (low.value > high.value) {
        return; /* that was said where the limits were read */
    }
    bool outside = value.low < low.value - slack_of(low.value) ||
                   value.high > high.value + slack_of(high.value);
    if (outside || (row->whole && value.value != floor(value.value))) {
        report_line(limits, row, &low, &high, &value);
    }
}

void mw_limits_loss(mw_limits *limits, const mw_use_row *use)
{
    mw_constant loss;
    if (find_figure(limits, use->loss, MW_TYPE_NUMBER, &loss) &&
        !(loss.low >= 0 && loss.high < 1)) {
        double shown = loss.low >= 0 ? loss.high : loss.low;
        mw_diags_error(limits->load->diags, MW_CODE_OUT_OF_RANGE, use->loss,
                       "the loss of `%.*s` is %s; as a share of what is used up it goes from 0 %% "
                       "to less than 100 %%",
                       MW_SHOW(use->role), words_of(limits, shown, loss.type, loss.unit));
    }
}

void mw_limits_shop(mw_limits *limits, const mw_shop_known *known, mw_span formula)
{
    mw_type type = MW_NONE;
    mw_unit unit = MW_NONE;
    mw_constant value;
    mw_status status =
        mw_unit_of_words(limits->load->calculator->measure, mw_str_of(known->unit), &type, &unit);
    limits->load->no_memory |= status == MW_NO_MEMORY;
    if (status != MW_OK || !find_figure(limits, formula, type, &value)) {
        return;
    }
    bool low_fits = mw_shop_known_allows(known, value.low);
    if (!low_fits || !mw_shop_known_allows(known, value.high)) {
        double shown = low_fits ? value.high : value.low;
        mw_diags_error(limits->load->diags, MW_CODE_OUT_OF_RANGE, formula,
                       "`%s` is %s; allowed is %s", known->name,
                       words_of(limits, shown, value.type, value.unit), known->allowed);
    }
}
