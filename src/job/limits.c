/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What recipe and shop allow: values of quantities and of the shop are held to it, whoever sets them. */
#include "parts.h"

#include <math.h>
#include <string.h>

#include "mouldwright/number.h"

typedef struct limiting {
    build *in;
    mw_diags *diags;
    mw_status status;
} limiting;

static void read_limit(limiting *job, mw_span formula, double *limit)
{
    mw_answer answer = {.values = limit, .room = 1};
    *limit = (double)NAN;
    if (formula.source != MW_NONE) {
        mw_status status = mw_sheet_try(job->in->sheet, formula, NULL, &answer, job->diags);
        job->status = status != MW_OK ? status : job->status;
    }
}

/* Where the value comes from: what the user set, else the recipe's formula. */
static mw_span origin(const mould *of, uint32_t at)
{
    const layer *set = of->layers[at];
    return !set ? of->kit->slots[at].formula : set->field ? set->field->value : set->set->formula;
}

/* Whether a value breaks the limit that is there for all steps: not less than nothing. */
static bool is_negative(const slot *of, double value)
{
    return value < 0.0 && (!of->row || of->row->low.source == MW_NONE);
}

/* Adds `2.5; allowed are whole numbers from 1 up to 20`. */
static void add_limit_words(const build *in, const slot *to, double value, mw_text *out)
{
    mw_measure *measure = in->job->measure;
    mw_value_words(measure, value, to->type, to->unit, out);
    if (is_negative(to, value)) {
        mw_text_adds(out, "; it cannot be less than 0");
        return;
    }
    mw_text_adds(out, to->row && to->row->whole ? "; allowed are whole numbers" : "; allowed is");
    if (!isnan(to->low)) {
        mw_text_adds(out, " from ");
        mw_value_words(measure, to->low, to->type, to->unit, out);
    }
    if (!isnan(to->high)) {
        mw_text_adds(out, " up to ");
        mw_value_words(measure, to->high, to->type, to->unit, out);
    }
}

static void say_limit(limiting *job, const mould *of, uint32_t at)
{
    const slot *to = &of->kit->slots[at];
    mw_text text = {0};
    add_limit_words(job->in, to, mw_sheet_value(job->in->sheet, of->cells[at]), &text);
    mw_diag *diag = mw_diags_error(job->diags, MW_CODE_OUT_OF_RANGE, origin(of, at), "`%.*s` is %s",
                                   (int)to->quantity.length, to->quantity.at, mw_text_chars(&text));
    if (to->row) {
        mw_diag_other(job->diags, diag, to->row->name_at, "the recipe says so here");
    }
    mw_text_free(&text);
    job->status = MW_FAILED;
}

static void say_negative(limiting *job, const mould *of, uint32_t at)
{
    const slot *to = &of->kit->slots[at];
    mw_diags_error(job->diags, MW_CODE_OUT_OF_RANGE, origin(of, at), "`%.*s` cannot be less than 0",
                   (int)to->quantity.length, to->quantity.at);
    job->status = MW_FAILED;
}

bool limits_beyond(const slot *of, double value)
{
    return value < of->low || value > of->high ||
           (of->whole && value != floor(value) && !isnan(value));
}

/* Checks what the user set, or what recipes make of it. */
static void check_values(limiting *job, bool set)
{
    for (uint32_t m = 0; m < job->in->mould_count; m++) {
        const mould *of = &job->in->moulds[m];
        for (uint32_t at = 0; at < of->kit->slot_count; at++) {
            const slot *to = &of->kit->slots[at];
            double value = mw_sheet_value(job->in->sheet, of->cells[at]);
            if ((of->layers[at] != NULL) == set && limits_beyond(to, value)) {
                (is_negative(to, value) ? say_negative : say_limit)(job, of, at);
            }
        }
    }
}

/* What the program knows of a value of the shop; NULL: nothing. */
static const mw_shop_known *known_of(const global *of)
{
    static const char before[] = "shop.";
    const size_t skip = sizeof before - 1;
    bool of_shop = of->name.length > skip && memcmp(of->name.at, before, skip) == 0;
    return of_shop ? mw_shop_known_find((mw_str){of->name.at + skip, of->name.length - skip})
                   : NULL;
}

static bool ends_with(mw_str name, const char *ending)
{
    size_t length = strlen(ending);
    return name.length > length && memcmp(name.at + name.length - length, ending, length) == 0;
}

/* How many people or machines there are, or what one costs. */
static bool counts_or_pays(const global *of)
{
    bool of_shop = of->name.length > 5 && memcmp(of->name.at, "shop.", 5) == 0;
    return of_shop && (ends_with(of->name, "_count") || ends_with(of->name, "_rate"));
}

bool limits_global_beyond(const global *of, double value)
{
    const mw_shop_known *known = known_of(of);
    bool beyond = known && !isnan(value) && !mw_shop_known_allows(known, value);
    return beyond || (!known && value < 0.0 && counts_or_pays(of));
}

/* Adds `100 %; allowed is from 0 % to less than 100 %`. */
static void add_global_words(const build *in, const global *of, double value, mw_text *out)
{
    mw_value_words(in->job->measure, value, of->type, of->unit, out);
    const mw_shop_known *known = known_of(of);
    mw_text_addf(out, "; allowed is %s", known ? known->allowed : "nothing below 0");
}

/* Values of the shop that the job sets; what the shop's file gives was checked when it was read. */
static void check_shop(limiting *job)
{
    for (uint32_t i = 0; i < job->in->global_count; i++) {
        const global *of = &job->in->globals[i];
        double value = of->set ? mw_sheet_value(job->in->sheet, of->cell) : (double)NAN;
        if (of->set && limits_global_beyond(of, value)) {
            mw_text text = {0};
            add_global_words(job->in, of, value, &text);
            mw_diags_error(job->diags, MW_CODE_OUT_OF_RANGE, of->set->formula, "`%.*s` is %s",
                           (int)of->name.length, of->name.at, mw_text_chars(&text));
            mw_text_free(&text);
            job->status = MW_FAILED;
        }
    }
}

/* The order that is kept has to be one. */
static void check_order(limiting *job)
{
    const uint32_t at = global_find(job->in, mw_str_of("job.order"));
    const global *of = at == MW_NONE ? NULL : &job->in->globals[at];
    if (!of || !of->set) {
        return;
    }
    const double value = mw_sheet_value(job->in->sheet, of->cell);
    const mw_str text = mw_values_text_of(mw_sheet_values(job->in->sheet), value);
    mw_str bad = {0};
    const mw_status status = job_order_check(text, &bad);
    if (status == MW_FAILED) {
        mw_diag *diag = mw_diags_error(job->diags, MW_CODE_SYNTAX, of->set->formula,
                                       "no order of sessions can be read from `%.*s`",
                                       (int)(bad.length > 40 ? 40 : bad.length), bad.at);
        mw_diag_try(job->diags, diag, "adopt, which writes it, or: restore job.order");
    }
    job->status = status == MW_OK ? job->status : status;
}

static bool lane_mould(const build *in, const mw_lanes *lanes, const mould *of, uint32_t lane,
                       mw_text *why)
{
    for (uint32_t at = 0; at < of->kit->slot_count; at++) {
        const slot *to = &of->kit->slots[at];
        const double *column = mw_lanes_column(lanes, of->cells[at]);
        if (column && limits_beyond(to, column[lane])) {
            mw_text_addf(why, "`%.*s.", (int)of->name.length, of->name.at);
            slot_words(of->kit, at, why);
            mw_text_adds(why, "` would be ");
            add_limit_words(in, to, column[lane], why);
            return true;
        }
    }
    return false;
}

bool limits_lane_beyond(const build *in, const mw_lanes *lanes, uint32_t lane, mw_text *why)
{
    for (uint32_t i = 0; i < in->global_count; i++) {
        const global *of = &in->globals[i];
        const double *column = mw_lanes_column(lanes, of->cell);
        if (column && limits_global_beyond(of, column[lane])) {
            mw_text_addf(why, "`%.*s` would be ", (int)of->name.length, of->name.at);
            add_global_words(in, of, column[lane], why);
            return true;
        }
    }
    for (uint32_t m = 0; m < in->mould_count; m++) {
        if (lane_mould(in, lanes, &in->moulds[m], lane, why)) {
            return true;
        }
    }
    return false;
}

mw_status limits_check(build *in, mw_diags *diags)
{
    limiting job = {in, diags, MW_OK};
    check_shop(&job);
    check_order(&job);
    check_values(&job, true);
    if (job.status == MW_OK) { /* else they may only follow from it */
        check_values(&job, false);
    }
    return job.status;
}

/* Standard quantities of a step (hours, people, waits, layers ...) are not less than nothing. */
mw_status limits_read(build *in, kit *of, mw_diags *diags)
{
    limiting job = {in, diags, MW_OK};
    for (uint32_t at = 0; at < of->slot_count; at++) {
        slot *to = &of->slots[at];
        bool standard = to->step != MW_NONE && mw_standard_find(to->quantity) != NULL;
        to->low = to->high = (double)NAN;
        if (to->row) {
            read_limit(&job, to->row->low, &to->low);
            read_limit(&job, to->row->high, &to->high);
            to->whole = to->row->whole;
        }
        to->low = standard ? fmax(to->low, 0.0) : to->low;
        to->high = standard && mw_str_is(to->quantity, "done") ? fmin(to->high, 1.0) : to->high;
    }
    return job.status;
}
