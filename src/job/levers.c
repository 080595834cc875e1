/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Levers: the plan made again with one thing different, on copies of what the newest plan was made from. */
#include "mouldwright/job_levers.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "mouldwright/memory.h"
#include "plan_node.h"

enum { WINDOWS_MOST = 4, GAIN_EFFORT = 3, SEED = 20270111, DAY_MINUTES = 1440 };
static const double NIGHT_K = 5.0; /* by which nights are tried warmer */

/* What is tried of a kind that may keep a window: `count` amounts, `unit` apart. */
static const struct {
    mw_lever_kind kind;
    double unit;
    int count, first;
} cure_kinds[] = {{MW_LEVER_SHIFT, 900.0, 24, 1}, {MW_LEVER_PEOPLE, 1.0, 4, 1},
                  {MW_LEVER_FASTER, 0.05, 16, 1}, {MW_LEVER_HARDENER, 0.05, 60, 1},
                  {MW_LEVER_COLDER, 0.5, 30, 1},  {MW_LEVER_WARMER, 0.5, 30, 1},
                  {MW_LEVER_SPLIT, 1.0, 8, 2}};
enum { CURE_KINDS = sizeof cure_kinds / sizeof *cure_kinds };

/* One lever, pulled so far. */
typedef struct pull {
    mw_lever_kind kind;
    double amount;
    uint32_t early, late; /* planned steps of a window */
    uint32_t resource;    /* PEOPLE, HAND, MACHINE */
    uint32_t shift;       /* SHIFT, EVENING */
} pull;

typedef struct levers_run {
    mw_job *job;
    plan_node *node;
    double *inputs;
    uint64_t schedules; /* budget of each trial */
    uint64_t asked, tried;
    uint32_t done, planned; /* trials, for progress */
    bool stopped;
    bool base_planned; /* without any lever all windows are kept */
} levers_run;

static bool goes_on(levers_run *on)
{
    const double share = on->planned > 0 ? fmin(1.0, (double)on->done / on->planned) : -1.0;
    on->stopped = on->stopped || !job_goes_on(on->job, share);
    return !on->stopped;
}

static bool stop(void *context)
{
    levers_run *on = context;
    return ++on->asked % 32 == 0 && !goes_on(on);
}

/* ---- pulling ---- */

static double *step_of(const levers_run *on, uint32_t s)
{
    return on->inputs + on->node->steps_at + (size_t)s * IN_STEP_COUNT;
}

static void scale_both(const levers_run *on, const pull *how, double by)
{
    step_of(on, how->early)[IN_HOURS] *= by;
    if (how->late != how->early) {
        step_of(on, how->late)[IN_HOURS] *= by;
    }
}

static void add_people(const levers_run *on, const pull *how)
{
    on->inputs[IN_FIXED_COUNT + how->resource] += how->amount;
    step_of(on, how->early)[IN_CREW] += how->amount;
    if (how->late != how->early) {
        step_of(on, how->late)[IN_CREW] += how->amount;
    }
}

static void slow_hardener(const levers_run *on, const pull *how)
{
    static const int slowed[] = {IN_WINDOW, IN_WAIT, IN_SESSION_WAIT};
    for (size_t i = 0; i < sizeof slowed / sizeof *slowed; i++) {
        step_of(on, how->early)[slowed[i]] *= 1.0 + how->amount;
    }
}

static void set_inputs(const levers_run *on, const pull *how)
{
    memcpy(on->inputs, on->node->newest, on->node->input_count * sizeof *on->inputs);
    switch (how->kind) {
    case MW_LEVER_PEOPLE:
        add_people(on, how);
        break;
    case MW_LEVER_FASTER:
        scale_both(on, how, 1.0 - how->amount);
        break;
    case MW_LEVER_SPLIT:
        scale_both(on, how, how->amount > 0.0 ? 1.0 / how->amount : 1.0);
        break;
    case MW_LEVER_HARDENER:
        slow_hardener(on, how);
        break;
    case MW_LEVER_COLDER:
        on->inputs[IN_DAY_WARMER] -= how->amount;
        on->inputs[IN_NIGHT_WARMER] -= how->amount;
        break;
    case MW_LEVER_WARMER:
        on->inputs[IN_DAY_WARMER] += how->amount;
        on->inputs[IN_NIGHT_WARMER] += how->amount;
        break;
    case MW_LEVER_NIGHT:
        on->inputs[IN_NIGHT_WARMER] += how->amount;
        break;
    case MW_LEVER_HAND:
    case MW_LEVER_MACHINE:
        on->inputs[IN_FIXED_COUNT + how->resource] += how->amount;
        break;
    case MW_LEVER_SHIFT:
    case MW_LEVER_EVENING:
        break; /* the calendar */
    }
}

/* A working day with a later end, or the same again behind it, up to midnight. */
static void lengthen_day(mw_shift *shift, size_t day, const pull *how)
{
    const uint32_t count = shift->stretch_count[day];
    if (count == 0) {
        return;
    }
    mw_stretch *last = &shift->day[day][count - 1];
    int open = 0;
    for (uint32_t i = 0; i < count; i++) {
        open += shift->day[day][i].to_minute - shift->day[day][i].from_minute;
    }
    const int longer = how->kind == MW_LEVER_EVENING ? open : (int)(how->amount / 60.0);
    const int most = last->to_minute > DAY_MINUTES ? last->to_minute : DAY_MINUTES;
    last->to_minute = last->to_minute + longer < most ? last->to_minute + longer : most;
}

/* The calendar of a shift as the lever makes it; NULL: no memory. */
static mw_calendar *pulled_shift(const levers_run *on, const pull *how)
{
    const mw_shop *shop = on->node->in->shop;
    mw_shop other = *shop;
    mw_shift *shifts = mw_memory_get(((size_t)shop->shift_count + 1) * sizeof *shifts);
    if (!shifts) {
        return NULL;
    }
    memcpy(shifts, shop->shifts, shop->shift_count * sizeof *shifts);
    for (size_t day = 0; day < 7; day++) {
        lengthen_day(&shifts[how->shift], day, how);
    }
    other.shifts = shifts;
    mw_calendar *made = mw_shop_shift(&other, shifts[how->shift].name);
    mw_memory_give(shifts);
    return made;
}

/* Plans what the inputs say. */
static mw_status plan_inputs(levers_run *on, const double *inputs)
{
    plan_node *node = on->node;
    const mw_plan_budget budget = {.seed = SEED,
                                   .schedules = on->schedules,
                                   .trials = on->schedules,
                                   .stop = stop,
                                   .context = on};
    if (!goes_on(on)) {
        return MW_FAILED;
    }
    mw_status status = plan_node_gather(node, inputs) ? MW_OK : MW_NO_MEMORY;
    status = status == MW_OK ? plan_node_solve(node, inputs, &budget) : status;
    on->tried += node->outcome.schedules;
    on->done++;
    return status == MW_OK && on->stopped ? MW_FAILED : status;
}

/* Plans with one lever pulled; the plan stands in the node then. */
static mw_status try_pull(levers_run *on, const pull *how)
{
    plan_node *node = on->node;
    set_inputs(on, how);
    if (how->kind != MW_LEVER_SHIFT && how->kind != MW_LEVER_EVENING) {
        return plan_inputs(on, on->inputs);
    }
    mw_calendar *other = pulled_shift(on, how);
    if (!other) {
        return MW_NO_MEMORY;
    }
    const mw_calendar *own = node->calendars[how->shift];
    node->calendars[how->shift] = other;
    mw_status status = plan_inputs(on, on->inputs);
    node->calendars[how->shift] = own;
    mw_calendar_free(other);
    return status;
}

/* ---- windows ---- */

static bool all_done(const plan_node *node)
{
    const mw_plan_slot *slots = mw_plan_slots(node->plan);
    for (uint32_t a = 0; a < node->activities.count; a++) {
        if (!isfinite(slots[a].end_s)) {
            return false;
        }
    }
    return true;
}

/* Whether the plan in the node keeps the windows between two steps. */
static bool keeps(const plan_node *node, const pull *how)
{
    uint32_t count = 0;
    const uint32_t *missed = mw_plan_missed(node->plan, &count);
    const lag_meaning *meanings = node->meanings.items;
    for (uint32_t i = 0; i < count; i++) {
        if (meanings[missed[i]].early == how->early && meanings[missed[i]].late == how->late) {
            return false;
        }
    }
    return all_done(node);
}

/* Halves between what fails and what helps, down to neighbours. Both have been planned then. */
static mw_status find_smallest(levers_run *on, pull *how, size_t kind, mw_cure_lever *out)
{
    int fails = cure_kinds[kind].first - 1;
    int helps = cure_kinds[kind].count;
    how->amount = helps * cure_kinds[kind].unit;
    mw_status status = try_pull(on, how);
    out->helps = status == MW_OK && keeps(on->node, how);
    out->amount = how->amount;
    while (status == MW_OK && out->helps && helps - fails > 1) {
        const int middle = (fails + helps) / 2;
        how->amount = middle * cure_kinds[kind].unit;
        status = try_pull(on, how);
        const bool kept = status == MW_OK && keeps(on->node, how);
        helps = kept ? middle : helps;
        fails = kept ? fails : middle;
    }
    if (out->helps) {
        out->amount = helps * cure_kinds[kind].unit;
        out->below = fails * cure_kinds[kind].unit;
    }
    return status;
}

/* Names what a lever is pulled at; false: there is nothing to pull. */
static bool aim(const levers_run *on, pull *how, mw_str *who)
{
    const mw_shop *shop = on->node->in->shop;
    const planned_step *late = &on->node->steps[how->late];
    const planned_step *early = &on->node->steps[how->early];
    const bool cures = early->row->window_on == MW_ON_CURE || early->row->wait_on == MW_ON_CURE;
    how->shift = late->calendar;
    how->resource = late->trade;
    switch (how->kind) {
    case MW_LEVER_SHIFT:
        *who = late->calendar < shop->shift_count ? shop->shifts[late->calendar].name : *who;
        return late->calendar < shop->shift_count;
    case MW_LEVER_PEOPLE:
        *who = late->trade < shop->trade_count ? shop->trades[late->trade].name : *who;
        return late->trade < shop->trade_count;
    case MW_LEVER_COLDER:
    case MW_LEVER_WARMER:
        return cures;
    case MW_LEVER_FASTER:
    case MW_LEVER_HARDENER:
    case MW_LEVER_SPLIT:
    case MW_LEVER_HAND:
    case MW_LEVER_MACHINE:
    case MW_LEVER_EVENING:
    case MW_LEVER_NIGHT:
        return true;
    }
    return false;
}

/* The windows of two steps once each, a few of them. */
static uint32_t list_windows(const levers_run *on, mw_window_miss *list)
{
    const mw_window_miss *misses = on->node->misses.items;
    uint32_t count = 0;
    for (uint32_t i = 0; i < on->node->misses.count && count < WINDOWS_MOST; i++) {
        bool there = false;
        for (uint32_t k = 0; k < count; k++) {
            there = there || (list[k].mould == misses[i].mould &&
                              list[k].early == misses[i].early && list[k].late == misses[i].late);
        }
        if (!there) {
            list[count++] = misses[i];
        }
    }
    return count;
}

static mw_status find_cures(levers_run *on, const mw_window_miss *list, uint32_t windows,
                            mw_levers *out)
{
    mw_cure_lever *made =
        mw_arena_get(on->job->scratch, (size_t)WINDOWS_MOST * CURE_KINDS * sizeof *made);
    mw_status status = made ? MW_OK : MW_NO_MEMORY;
    out->cures = made;
    for (uint32_t w = 0; status == MW_OK && w < windows; w++) {
        for (size_t kind = 0; status == MW_OK && kind < CURE_KINDS; kind++) {
            pull how = {.kind = cure_kinds[kind].kind,
                        .early = plan_node_step(on->node, list[w].mould, list[w].early),
                        .late = plan_node_step(on->node, list[w].mould, list[w].late)};
            mw_cure_lever *item = &made[out->cure_count];
            *item = (mw_cure_lever){.miss = list[w], .kind = how.kind};
            if (aim(on, &how, &item->who)) {
                status = find_smallest(on, &how, kind, item);
                out->cure_count++;
            }
        }
    }
    return status;
}

/* ---- gains ---- */

static int by_gain(const void *left, const void *right)
{
    const mw_gain_lever *a = left;
    const mw_gain_lever *b = right;
    if (a->gain_s != b->gain_s) {
        return a->gain_s > b->gain_s ? -1 : 1;
    }
    if (a->kind != b->kind) {
        return a->kind < b->kind ? -1 : 1;
    }
    return (a->who.at > b->who.at) - (a->who.at < b->who.at); /* names of one shop: its order */
}

static bool is_used(const plan_node *node, uint32_t resource)
{
    const mw_plan_need *holds = node->holds.items;
    for (uint32_t i = 0; i < node->holds.count; i++) {
        if (holds[i].resource == resource) {
            return true;
        }
    }
    return false;
}

static mw_status add_gain(levers_run *on, const pull *how, mw_gain_lever *item, mw_levers *out)
{
    mw_status status = try_pull(on, how);
    if (status != MW_OK) {
        return status;
    }
    double last_s = all_done(on->node) ? on->node->outcome.last_s : (double)INFINITY;
    /* whoever is there besides need not be used: the plan without them stays one */
    const bool besides = how->kind == MW_LEVER_HAND || how->kind == MW_LEVER_MACHINE;
    last_s = besides ? fmin(last_s, out->last_s) : last_s;
    const double gain_s = isfinite(last_s) || isfinite(out->last_s) ? out->last_s - last_s : 0.0;
    const bool planned = on->base_planned && on->node->outcome.verdict == MW_PLAN_PLANNED;
    *item = (mw_gain_lever){.kind = how->kind,
                            .who = item->who,
                            .amount = how->amount,
                            .last_s = last_s,
                            .gain_s = gain_s,
                            .proven = planned && last_s < out->bound_s};
    out->gain_count++;
    return MW_OK;
}

static mw_status gain_of(levers_run *on, mw_gain_lever *made, mw_str who, const pull *how,
                         mw_levers *out)
{
    made[out->gain_count].who = who;
    return add_gain(on, how, &made[out->gain_count], out);
}

static mw_status find_gains(levers_run *on, mw_levers *out)
{
    const mw_shop *shop = on->node->in->shop;
    const uint32_t most = on->node->resource_count + shop->shift_count + 1;
    mw_gain_lever *made = mw_arena_get(on->job->scratch, (most + 1) * sizeof *made);
    mw_status status = made ? MW_OK : MW_NO_MEMORY;
    out->gains = made;
    for (uint32_t r = 0; status == MW_OK && r < on->node->resource_count; r++) {
        const bool machine = r >= shop->trade_count;
        const mw_str name =
            machine ? shop->machines[r - shop->trade_count].name : shop->trades[r].name;
        const pull how = {
            .kind = machine ? MW_LEVER_MACHINE : MW_LEVER_HAND, .amount = 1.0, .resource = r};
        status = is_used(on->node, r) ? gain_of(on, made, name, &how, out) : MW_OK;
    }
    for (uint32_t i = 0; status == MW_OK && i < shop->shift_count; i++) {
        const pull how = {.kind = MW_LEVER_EVENING, .amount = 1.0, .shift = i};
        status = gain_of(on, made, shop->shifts[i].name, &how, out);
    }
    if (status == MW_OK) {
        const pull how = {.kind = MW_LEVER_NIGHT, .amount = NIGHT_K};
        status = gain_of(on, made, mw_str_of("nights"), &how, out);
    }
    if (status == MW_OK) {
        qsort(made, out->gain_count, sizeof *made, by_gain);
    }
    return status;
}

/* ---- all of it ---- */

static mw_status find_levers(levers_run *on, mw_levers *out)
{
    mw_window_miss windows[WINDOWS_MOST];
    const uint32_t count = list_windows(on, windows);
    on->planned = count * CURE_KINDS * 5 + on->node->resource_count + 4;
    on->schedules = plan_node_effort(on->node);
    mw_status status = find_cures(on, windows, count, out);
    on->schedules *= GAIN_EFFORT;
    status = status == MW_OK ? plan_inputs(on, on->node->newest) : status;
    if (status == MW_OK) {
        out->last_s = all_done(on->node) ? on->node->outcome.last_s : (double)INFINITY;
        out->bound_s = on->node->outcome.bound_s;
        on->base_planned = on->node->outcome.verdict == MW_PLAN_PLANNED;
        status = find_gains(on, out);
    }
    return status;
}

mw_status mw_job_levers(mw_job *job, mw_levers *out, mw_diags *diags)
{
    plan_node *node = job->build->plan;
    *out = (mw_levers){0};
    if (!node || !node->newest_known) {
        mw_diags_error(diags, MW_CODE_NO_PLAN, job_nowhere(),
                       "there is no plan to look for levers");
        return MW_FAILED;
    }
    if (job_keeps_order(job)) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_NO_PLAN, job_nowhere(),
                                       "the order of an adopted plan is kept: nothing is searched");
        mw_diag_try(diags, diag, "restore job.order");
        return MW_FAILED;
    }
    job->stopped = false;
    levers_run on = {.job = job, .node = node};
    on.inputs = mw_memory_get(node->input_count * sizeof *on.inputs);
    mw_status status = on.inputs ? find_levers(&on, out) : MW_NO_MEMORY;
    mw_memory_give(on.inputs);
    out->schedules = on.tried;
    if (job->stopped) {
        job->stopped = false;
        mw_diags_error(diags, MW_CODE_STOPPED, job_nowhere(), "stopped, nothing changed");
        status = status == MW_OK ? MW_FAILED : status;
    }
    /* the workspace is left as an answer leaves it */
    const bool again =
        plan_node_gather(node, node->newest) && plan_node_solve(node, node->newest, NULL) == MW_OK;
    return status == MW_OK && !again ? MW_NO_MEMORY : status;
}
