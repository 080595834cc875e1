/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What reports show of the newest plan: sessions, missed windows, and why the last date moved. */
#include "plan_node.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static int by_start(const void *left, const void *right)
{
    const mw_session *a = left;
    const mw_session *b = right;
    if (a->start_s != b->start_s) {
        return a->start_s < b->start_s ? -1 : 1;
    }
    if (a->mould != b->mould) {
        return a->mould < b->mould ? -1 : 1;
    }
    if (a->step != b->step) {
        return a->step < b->step ? -1 : 1;
    }
    return (a->number > b->number) - (a->number < b->number);
}

/* Until when what follows must cover a session. */
static double window_end(const plan_node *node, uint32_t s, double start_s)
{
    const planned_step *of = &node->steps[s];
    double window_s = node->results[s].window_s;
    if (isnan(window_s) || !isfinite(start_s)) {
        return (double)NAN;
    }
    uint32_t clock = plan_node_clock(node, of->row->window_on, of);
    return mw_calendar_advance(node->calendars[clock], start_s, window_s);
}

/* Copies what a session holds. */
static void show_holds(plan_node *node, uint32_t activity, mw_session *to)
{
    const mw_plan_activity *row = (const mw_plan_activity *)node->activities.items + activity;
    to->first_hold = node->holds.count;
    for (uint32_t i = 0; i < row->need_count; i++) {
        mw_plan_need *item = growing_add(&node->holds, sizeof *item);
        if (!item) {
            return;
        }
        *item = ((const mw_plan_need *)node->needs.items)[row->first_need + i];
        to->hold_count++;
    }
}

static void show_step(plan_node *node, uint32_t s)
{
    const planned_result *of = &node->results[s];
    const mw_plan_slot *slots = mw_plan_slots(node->plan) + of->first;
    const planned_step *step = &node->steps[s];
    const mw_calendar *clock = node->calendars[plan_node_clock(node, step->row->wait_on, step)];
    for (uint32_t i = 0; i < of->count; i++) {
        mw_session *item = growing_add(&node->sessions, sizeof *item);
        if (!item) {
            return;
        }
        bool last = i + 1 == of->count;
        double until_s =
            last ? of->until_s : mw_calendar_advance(clock, slots[i].end_s, of->session_wait_s);
        double queued_s = slots[i].reason == MW_PLAN_RESOURCE
                              ? fmax(0.0, slots[i].start_s - slots[i].ready_s)
                              : 0.0;
        *item = (mw_session){.mould = node->steps[s].mould,
                             .step = node->steps[s].step,
                             .number = i + 1,
                             .of = of->count,
                             .start_s = slots[i].start_s,
                             .end_s = slots[i].end_s,
                             .wait_until_s = until_s,
                             .queued_s = isfinite(queued_s) ? queued_s : 0.0,
                             .window_until_s = window_end(node, s, slots[i].start_s),
                             .done = of->done,
                             .sets_date = of->sets_date,
                             .crew = (uint32_t)fmin(ceil(of->crew - 1e-9), 1e6)};
        if (node->steps[s].trade == MW_NONE) {
            item->crew = 0;
        }
        show_holds(node, of->first + i, item);
    }
}

/* A window that is missed, with the two moments. */
static void show_miss(plan_node *node, uint32_t lag_at)
{
    const mw_plan_lag *lag = (const mw_plan_lag *)node->lags.items + lag_at;
    const lag_meaning *meaning = (const lag_meaning *)node->meanings.items + lag_at;
    const mw_plan_slot *slots = mw_plan_slots(node->plan);
    mw_window_miss *item = growing_add(&node->misses, sizeof *item);
    if (!item) {
        return;
    }
    *item =
        (mw_window_miss){.mould = node->steps[meaning->early].mould,
                         .early = node->steps[meaning->early].step,
                         .late = node->steps[meaning->late].step,
                         .until_s = mw_calendar_advance(node->calendars[lag->calendar],
                                                        slots[lag->from].start_s, lag->amount_s),
                         .ends_s = slots[lag->to].end_s};
}

static mw_str resource_name(const plan_node *node, uint32_t at)
{
    const mw_shop *shop = node->in->shop;
    return at < shop->trade_count ? shop->trades[at].name
                                  : shop->machines[at - shop->trade_count].name;
}

/* A step whose first undone session is held up by itself and not by what it follows. */
static void show_never(plan_node *node, uint32_t s)
{
    const planned_result *of = &node->results[s];
    const mw_plan_activity *activities = node->activities.items;
    const mw_plan_slot *slots = mw_plan_slots(node->plan);
    uint32_t at = of->first;
    while (at < of->first + of->count && isfinite(slots[at].start_s)) {
        at++;
    }
    if (at == of->first + of->count ||
        (slots[at].reason != MW_PLAN_SHIFT && slots[at].reason != MW_PLAN_RESOURCE)) {
        return;
    }
    mw_never *item = growing_add(&node->nevers, sizeof *item);
    if (!item) {
        return;
    }
    *item = (mw_never){.mould = node->steps[s].mould,
                       .step = node->steps[s].step,
                       .work_s = activities[at].work_s,
                       .at_one_go = !activities[at].interrupt};
    const mw_plan_need *needs = node->needs.items;
    for (uint32_t i = 0; slots[at].reason == MW_PLAN_RESOURCE && i < activities[at].need_count;
         i++) {
        const mw_plan_need *need = &needs[activities[at].first_need + i];
        if (need->resource == slots[at].binding) {
            item->lacking = resource_name(node, need->resource);
            item->needed += need->amount;
            item->there = node->resources[need->resource].capacity;
        }
    }
}

static void keep_item(growing *list, const void *item, size_t size)
{
    void *to = growing_add(list, size);
    if (to) {
        memcpy(to, item, size);
    }
}

/* Keeps when each activity starts, and which windows are missed. */
static void show_slots(plan_node *node)
{
    uint32_t count = 0;
    const mw_plan_slot *slots = mw_plan_slots(node->plan);
    const uint32_t *missed = mw_plan_missed(node->plan, &count);
    node->shown_slots.count = node->shown_missed.count = 0;
    for (uint32_t a = 0; a < node->activities.count; a++) {
        keep_item(&node->shown_slots, &slots[a], sizeof *slots);
    }
    for (uint32_t i = 0; i < count; i++) {
        keep_item(&node->shown_missed, &missed[i], sizeof *missed);
        show_miss(node, missed[i]);
    }
}

void plan_node_show(plan_node *node)
{
    memcpy(node->shown, node->results, node->step_count * sizeof *node->shown);
    node->judged = node->outcome;
    node->sessions.count = 0;
    node->holds.count = 0;
    node->misses.count = 0;
    node->nevers.count = 0;
    for (uint32_t s = 0; s < node->step_count; s++) {
        const planned_result *of = &node->results[s];
        if (of->planned && (of->work_s > 0.0 || of->wait_s > 0.0)) {
            show_step(node, s);
            show_never(node, s);
        }
    }
    if (node->sessions.count > 0) {
        qsort(node->sessions.items, node->sessions.count, sizeof(mw_session), by_start);
    }
    show_slots(node);
}

const mw_session *mw_job_sessions(const mw_job *job, uint32_t *count)
{
    const plan_node *node = job->build->plan;
    *count = node ? node->sessions.count : 0;
    return node ? node->sessions.items : NULL;
}

const mw_window_miss *mw_job_misses(const mw_job *job, uint32_t *count)
{
    const plan_node *node = job->build->plan;
    *count = node ? node->misses.count : 0;
    return node ? node->misses.items : NULL;
}

const mw_never *mw_job_nevers(const mw_job *job, uint32_t *count)
{
    const plan_node *node = job->build->plan;
    *count = node ? node->nevers.count : 0;
    return node ? node->nevers.items : NULL;
}

/* ---- what set a date ---- */

uint32_t plan_node_last(const plan_node *node, uint32_t m)
{
    uint32_t last = MW_NONE;
    for (uint32_t s = 0; s < node->step_count; s++) {
        bool asked = m == MW_NONE || node->steps[s].mould == m;
        if (asked && node->shown[s].planned &&
            (last == MW_NONE || node->shown[s].until_s > node->shown[last].until_s)) {
            last = s;
        }
    }
    return last;
}

uint32_t plan_node_step(const plan_node *node, uint32_t m, uint32_t step)
{
    return node->mould_first[m] + step;
}

uint32_t plan_node_before(const plan_node *node, uint32_t s)
{
    const uint32_t *befores = node->befores.items;
    uint32_t last = MW_NONE;
    for (uint32_t i = 0; i < node->steps[s].before_count; i++) {
        uint32_t at = befores[node->steps[s].first_before + i];
        if (node->shown[at].planned &&
            (last == MW_NONE || node->shown[at].until_s > node->shown[last].until_s)) {
            last = at;
        }
    }
    return last;
}

/* What held back the first session of a step, beyond what it follows. */
static void held_words(const plan_node *node, uint32_t s, mw_text *out)
{
    const planned_result *placed = &node->shown[s]; /* the workspace may hold a trial by now */
    switch (placed->reason) {
    case MW_PLAN_RESOURCE:
        mw_text_adds(out, "; waited for ");
        mw_text_add_str(out, resource_name(node, placed->binding));
        break;
    case MW_PLAN_SHIFT:
        mw_text_adds(out, "; began at an opening of its shift");
        break;
    case MW_PLAN_WINDOW:
        mw_text_adds(out, "; held back so that the window after it is kept");
        break;
    case MW_PLAN_AT_ONCE:
    case MW_PLAN_LAG:
        break;
    }
}

void plan_node_link_words(const plan_node *node, uint32_t s, mw_text *out)
{
    const planned_result *of = &node->shown[s];
    mw_text_addf(out, "work %.1f h", of->work_s / 3600.0);
    if (of->count > 1) {
        mw_text_addf(out, " in %u sessions", (unsigned)of->count);
    }
    if (isfinite(of->until_s) && of->until_s > of->end_s + 60.0) {
        mw_text_addf(out, ", then waits %.1f h", (of->until_s - of->end_s) / 3600.0);
    }
    held_words(node, s, out);
}

bool plan_node_idle(const plan_node *node, uint32_t s)
{
    return node->shown[s].work_s == 0.0 && node->shown[s].until_s <= node->shown[s].end_s;
}

void plan_node_place(const plan_node *node, uint32_t s, uint32_t *m, uint32_t *step)
{
    *m = node->steps[s].mould;
    *step = node->steps[s].step;
}

/* ---- why the date moved ---- */

mw_status plan_node_remember(plan_node *node)
{
    if (node) {
        memcpy(node->remembered, node->shown, node->step_count * sizeof *node->shown);
        node->remembered_misses = node->misses.count;
        node->has_memory = true;
    }
    return MW_OK;
}

/* The planned step of those names, or MW_NONE. */
static uint32_t same_step(const plan_node *from, mw_str mould_name, mw_str step)
{
    uint32_t m = mw_names_find(from->in->mould_names, mould_name);
    uint32_t at = m == MW_NONE ? MW_NONE : kit_step(from->in->moulds[m].kit, step);
    return at == MW_NONE ? MW_NONE : from->mould_first[m] + at;
}

void plan_node_carry(const plan_node *from, plan_node *to)
{
    if (!from || !to || !from->has_memory) {
        return;
    }
    for (uint32_t s = 0; s < to->step_count; s++) {
        const mould *of = &to->in->moulds[to->steps[s].mould];
        uint32_t old = same_step(from, of->name, to->steps[s].row->name);
        to->remembered[s] = old == MW_NONE ? (planned_result){0} : from->remembered[old];
    }
    to->remembered_misses = from->remembered_misses;
    to->has_memory = true;
}

static bool differs(double a, double b)
{
    return fabs(a - b) > 1e-6 * (1.0 + fabs(a));
}

static void step_words(const plan_node *node, uint32_t s, mw_text *out)
{
    const mould *of = &node->in->moulds[node->steps[s].mould];
    mw_text_add_str(out, node->steps[s].row->name);
    mw_text_adds(out, " on ");
    mw_text_add_str(out, of->name);
}

static void hours_words(double before_s, double after_s, const char *what, mw_text *out)
{
    double change_h = fabs(after_s - before_s) / 3600.0;
    mw_text_addf(out, " now %s %.1f h %s", what, change_h, after_s > before_s ? "longer" : "less");
}

/* Words the first difference of a step; false: it has none. */
static bool step_reason(const plan_node *node, uint32_t s, mw_text *out)
{
    const planned_result *before = &node->remembered[s];
    const planned_result *after = &node->shown[s];
    bool sessions = before->count != after->count;
    bool work = differs(before->work_s, after->work_s);
    bool wait = differs(before->wait_s, after->wait_s);
    bool crew = differs(before->crew, after->crew);
    if (!after->planned || !(sessions || work || wait || crew)) {
        return false;
    }
    if (!before->planned) {
        if (s > node->mould_first[node->steps[s].mould]) {
            return false; /* said once, at the mould's first step */
        }
        mw_text_addf(out, "mould %.*s is new",
                     (int)node->in->moulds[node->steps[s].mould].name.length,
                     node->in->moulds[node->steps[s].mould].name.at);
        return true;
    }
    step_words(node, s, out);
    if (sessions) {
        mw_text_addf(out, " now takes %u session%s instead of %u", (unsigned)after->count,
                     after->count == 1 ? "" : "s", (unsigned)before->count);
    } else if (work) {
        hours_words(before->work_s, after->work_s, "takes", out);
    } else if (wait) {
        hours_words(before->wait_s, after->wait_s, "waits", out);
    } else {
        mw_text_addf(out, " now has %.0f people", after->crew);
    }
    return true;
}

void mw_job_never_words(const mw_job *job, const mw_never *of, mw_text *out)
{
    const mould *in = &job->build->moulds[of->mould];
    mw_str step = in->kit->recipe->steps[of->step].name;
    mw_text_addf(out, "%.*s on %.*s can never be done: ", (int)step.length, step.at,
                 (int)in->name.length, in->name.at);
    if (of->lacking.length > 0) {
        mw_text_addf(out, "it needs %u of `%.*s`, there %s %u", (unsigned)of->needed,
                     (int)of->lacking.length, of->lacking.at, of->there == 1 ? "is" : "are",
                     (unsigned)of->there);
    } else {
        mw_text_addf(out, "%.1f h%s fit no open stretch of its shift", of->work_s / 3600.0,
                     of->at_one_go ? " in one go" : "");
    }
}

/* Whether a step by itself would make its mould ready later than before. */
static bool delays(const plan_node *node, uint32_t s)
{
    const planned_result *before = &node->remembered[s];
    const planned_result *after = &node->shown[s];
    return !before->planned || before->count < after->count ||
           (before->count == after->count &&
            before->work_s + before->wait_s < after->work_s + after->wait_s);
}

void plan_node_reason(mw_job *job, bool later, mw_text *out)
{
    plan_node *node = job->build->plan;
    if (!node || !node->has_memory) {
        return;
    }
    if (node->nevers.count > 0) {
        mw_job_never_words(job, node->nevers.items, out);
        return;
    }
    uint32_t others = 0;
    bool said = false;
    bool against = true; /* nothing that changed by itself moves the date that way */
    for (uint32_t s = 0; s < node->step_count; s++) {
        mw_text rest = {0};
        bool differing = step_reason(node, s, said ? &rest : out);
        against = against && !(differing && delays(node, s) == later);
        others += said && differing;
        said = said || differing;
        mw_text_free(&rest);
    }
    if (others > 0) {
        mw_text_addf(out, ", and %u more step%s changed", (unsigned)others, others == 1 ? "" : "s");
    }
    if (said && against) {
        mw_text_adds(out, "; turns in the shop fall differently with it");
    }
    if (node->misses.count > node->remembered_misses) {
        mw_text_adds(out, said ? "; a window is now missed" : "a window is now missed");
        said = true;
    }
    if (!said) {
        mw_text_adds(out, "start, waits or hands in the shop changed");
    }
}
