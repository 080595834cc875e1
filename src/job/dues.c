/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Payments by milestones of the plan, and repeats by the learning curve. */
#include "parts.h"

#include <math.h>

#include "mouldwright/pricing.h"
#include "mouldwright/suggest.h"
#include "mouldwright/trade_learning.h"

typedef struct due_list {
    mw_job *job;
    const mw_session *sessions;
    uint32_t session_count;
    mw_diags *diags;
} due_list;

/* ---- milestones: the moment, NaN where the plan has none ---- */

static double of_order(const due_list *list)
{
    return mw_job_total(list->job, "job.start");
}

static double of_start(const due_list *list)
{
    return list->session_count > 0 ? list->sessions[0].start_s : (double)NAN;
}

static double labour_of(const mw_session *session)
{
    return (session->end_s - session->start_s) * session->crew;
}

/* The end of the session with which half of the people's time has been worked. */
static double of_half(const due_list *list)
{
    double all = 0.0;
    double done = 0.0;
    for (uint32_t i = 0; i < list->session_count; i++) {
        all += labour_of(&list->sessions[i]);
    }
    for (uint32_t i = 0; i < list->session_count; i++) {
        done += labour_of(&list->sessions[i]);
        if (done >= all / 2.0) {
            return list->sessions[i].end_s;
        }
    }
    return (double)NAN;
}

static double of_ready(const due_list *list)
{
    return mw_job_headline(list->job).ready_s;
}

static const struct {
    const char *word;
    double (*moment)(const due_list *list);
} milestones[] = {{"order", of_order}, {"start", of_start}, {"half", of_half}, {"ready", of_ready}};

enum { MILESTONES = sizeof milestones / sizeof *milestones };

/* The end of the last step of that name over all moulds; false: no mould has it. */
static bool end_of_step(const due_list *list, mw_str name, double *moment)
{
    bool found = false;
    for (uint32_t m = 0; m < mw_job_mould_count(list->job); m++) {
        const mw_recipe *recipe = mw_job_mould(list->job, m).recipe;
        for (uint32_t s = 0; s < recipe->step_count; s++) {
            if (mw_same_name(recipe->steps[s].name, name)) {
                const double end_s = mw_job_value(list->job, m, s, "end");
                *moment = found ? fmax(*moment, end_s) : end_s;
                found = true;
            }
        }
    }
    return found;
}

static mw_status say_unknown(const due_list *list, const mw_payment *of)
{
    mw_diag *diag = mw_diags_error(list->diags, MW_CODE_UNKNOWN_NAME, of->at_at,
                                   "`%.*s` is no milestone, step or mould of this job",
                                   (int)of->at.length, of->at.at);
    mw_suggest nearest;
    mw_suggest_start(&nearest, of->at);
    for (size_t i = 0; i < MILESTONES; i++) {
        mw_suggest_offer(&nearest, mw_str_of(milestones[i].word));
    }
    if (nearest.best.length > 0) {
        mw_diag_try(list->diags, diag, "did you mean %.*s?", (int)nearest.best.length,
                    nearest.best.at);
    } else {
        mw_diag_try(list->diags, diag, "order, start, half, ready, a step or a mould");
    }
    return MW_FAILED;
}

static mw_status find_moment(const due_list *list, const mw_payment *of, double *moment)
{
    for (size_t i = 0; i < MILESTONES; i++) {
        if (mw_str_is(of->at, milestones[i].word)) {
            *moment = milestones[i].moment(list);
            return MW_OK;
        }
    }
    const uint32_t at = mw_job_mould_find(list->job, of->at);
    if (at != MW_NONE) {
        *moment = mw_job_value(list->job, at, MW_NONE, "ready");
        return MW_OK;
    }
    return end_of_step(list, of->at, moment) ? MW_OK : say_unknown(list, of);
}

/* ---- the list ---- */

static mw_status say_no_price(const due_list *list)
{
    mw_diags_error(list->diags, MW_CODE_NOT_A_VALUE, (mw_span){.source = MW_NONE},
                   "`job.total` has no value");
    return MW_FAILED;
}

static mw_status fill(const due_list *list, const mw_payment *payments, uint32_t count,
                      mw_due *dues)
{
    mw_arena *scratch = list->job->scratch;
    double *shares = mw_arena_get(scratch, count * sizeof *shares);
    int64_t *parts = mw_arena_get(scratch, count * sizeof *parts);
    int64_t total = 0;
    if (!shares || !parts) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < count; i++) {
        shares[i] = payments[i].share;
    }
    if (!mw_money_minor(mw_job_total(list->job, "job.total"), list->job->build->host->digits,
                        &total) ||
        !mw_money_split(total, shares, count, parts)) {
        return say_no_price(list);
    }
    for (uint32_t i = 0; i < count; i++) {
        double moment = (double)NAN;
        const mw_status status = find_moment(list, &payments[i], &moment);
        if (status != MW_OK) {
            return status;
        }
        dues[i] = (mw_due){.what = payments[i].what.length ? payments[i].what : payments[i].at,
                           .share = shares[i],
                           .minor = parts[i],
                           .due_s = floor((moment + payments[i].after_s) / MW_DAY_S) * MW_DAY_S};
    }
    return MW_OK;
}

mw_status mw_job_dues(mw_job *job, const mw_due **dues, uint32_t *count, mw_diags *diags)
{
    static const mw_payment all = {
        .what = {"ready", 5}, .share = 1.0, .at = {"ready", 5}, .at_at = {.source = MW_NONE}};
    const mw_shop *shop = job->build->shop;
    const bool told = shop && shop->payment_count > 0;
    due_list list = {.job = job, .diags = diags};
    list.sessions = mw_job_sessions(job, &list.session_count);
    *count = told ? shop->payment_count : 1;
    mw_due *made = mw_arena_get(job->scratch, *count * sizeof *made);
    *dues = made;
    return made ? fill(&list, told ? shop->payments : &all, *count, made) : MW_NO_MEMORY;
}

double mw_job_today(const mw_job *job)
{
    return job->today_s;
}

int64_t mw_job_repeat(const mw_job *job, int64_t first, double number)
{
    double amount = 0.0;
    int64_t minor = first;
    const double rate = mw_job_total(job, "shop.learning");
    if (mw_trade_unit_piece((double)first, rate, number, &amount) == MW_TRADE_OK) {
        mw_money_minor(amount, 0, &minor);
    }
    return minor;
}
