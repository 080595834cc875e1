/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One run of the plan: numbers of the sheet become activities, needs and lags; the slots that come back become dates. */
#include "plan_node.h"

#include <math.h>
#include <string.h>

#include "bits.h"
#include "mouldwright/memory.h"

#define SESSIONS_MAX 60
static const double NEVER_DUE_S = 253402214400.0; /* 9999-12-31: no date */

/* A run in progress. */
typedef struct run {
    plan_node *node;
    const double *inputs;
    double *outputs; /* NULL: only put together */
    bool lost;       /* no memory: outputs stay errors */
} run;

uint32_t plan_node_clock(const plan_node *node, mw_clockwork on, const planned_step *of)
{
    switch (on) {
    case MW_ON_CURE:
        return of->cure_calendar;
    case MW_ON_CLOCK:
        return node->in->shop->shift_count;
    case MW_ON_SHIFT:
        return of->calendar;
    }
    return 0;
}

static const double *step_inputs(const run *on, uint32_t s)
{
    return on->inputs + on->node->steps_at + (size_t)s * IN_STEP_COUNT;
}

static bool same_rule(const mw_cure_rule *a, const mw_cure_rule *b)
{
    return a->reference_k == b->reference_k && a->doubling_k == b->doubling_k &&
           a->day_shift_k == b->day_shift_k && a->night_shift_k == b->night_shift_k &&
           a->energy_jmol == b->energy_jmol && a->tent_k == b->tent_k &&
           a->coldest_k == b->coldest_k && a->hottest_k == b->hottest_k;
}

static bool sound_rule(const mw_cure_rule *rule)
{
    return isfinite(rule->reference_k) && rule->doubling_k > 0.0 && isfinite(rule->day_shift_k) &&
           isfinite(rule->night_shift_k) && rule->energy_jmol <= 300e3 && rule->tent_k <= 573.15;
}

/* Whether a calendar whose years are alike is never open. */
static bool is_never_open(const mw_calendar *calendar)
{
    const double year_s = 365.0 * MW_DAY_S;
    bool never = true;
    for (int years = -60; never && years < 140; years += 39) { /* it looks 40 years ahead */
        never = isinf(mw_calendar_open(calendar, years * year_s));
    }
    return never;
}

/* Makes the cure calendar at a place where its rule has changed. */
static bool make_cure(plan_node *node, uint32_t at, const mw_cure_rule *rule)
{
    uint32_t place = node->in->shop->shift_count + 1 + at;
    bool there = place < node->made_count;
    if (there && same_rule(rule, &node->cures[at])) {
        return true;
    }
    mw_calendar *made = sound_rule(rule) ? mw_shop_cure(node->in->shop, rule) : NULL;
    mw_calendar *beyond = made ? mw_shop_cure_beyond(node->in->shop, rule) : NULL;
    if (!beyond) {
        mw_calendar_free(made);
        return false;
    }
    mw_calendar_free(node->beyonds[at]);
    node->beyonds[at] = beyond;
    node->never_beyond[at] = is_never_open(beyond);
    if (there) {
        mw_calendar_free(node->owned[place]);
    } else {
        node->made_count = place + 1;
    }
    node->owned[place] = made;
    node->same_structure = false;
    node->calendars[place] = made;
    node->cures[at] = *rule;
    return true;
}

/* Finds each step its cure calendar: one for each rule, in the order in which the steps bring them. */
static bool update_cures(const run *on)
{
    plan_node *node = on->node;
    const double *inputs = on->inputs;
    uint32_t first = node->in->shop->shift_count + 1;
    uint32_t count = 0;
    for (uint32_t s = 0; s < node->step_count; s++) {
        const double *in = step_inputs(on, s);
        bool fine = in[IN_CURE_ENERGY] >= 0.0 && in[IN_TENT] >= 0.0 && in[IN_CURE_COLDEST] >= 0.0 &&
                    in[IN_CURE_HOTTEST] >= 0.0; /* else the step is not planned */
        mw_cure_rule rule = {.reference_k = inputs[IN_REFERENCE],
                             .doubling_k = inputs[IN_DOUBLING],
                             .day_shift_k = inputs[IN_DAY_WARMER],
                             .night_shift_k = inputs[IN_NIGHT_WARMER],
                             .energy_jmol = fine ? in[IN_CURE_ENERGY] : 0.0,
                             .tent_k = fine ? in[IN_TENT] : 0.0,
                             .coldest_k = fine ? in[IN_CURE_COLDEST] : 0.0,
                             .hottest_k = fine ? in[IN_CURE_HOTTEST] : 0.0};
        uint32_t at = 0;
        while (at < count && !same_rule(&rule, &node->cures[at])) {
            at++;
        }
        if (at == count && !make_cure(node, count++, &rule)) {
            return false;
        }
        node->steps[s].cure_calendar = first + at;
    }
    node->calendar_count = first + count;
    return true;
}

/* Whether all that the step gives is a number that can be planned with. */
static bool step_sound(const run *on, uint32_t s)
{
    const double *in = step_inputs(on, s);
    bool window = on->node->steps[s].reads_window;
    for (uint32_t i = 0; i < IN_STEP_COUNT; i++) {
        if ((i != IN_WINDOW || window) && !(in[i] >= 0.0 && isfinite(in[i]))) {
            return false;
        }
    }
    double share = on->inputs[IN_SHARE];
    bool hands = in[IN_HOURS] == 0.0 || (in[IN_CREW] > 0.0 && share > 0.0);
    return hands && in[IN_SESSIONS] <= SESSIONS_MAX && in[IN_DONE] <= 1.0;
}

/* Room for the next item of a list, which still holds what stood there when all was put together last; NULL: no memory,
 * which is noted. `*there` false: nothing stood there. */
static void *next_item(run *on, growing *list, size_t size, bool *there)
{
    *there = list->count < list->had;
    if (!mw_memory_grow32(&list->items, &list->capacity, list->count + 1, size)) {
        on->lost = true;
        return NULL;
    }
    return (char *)list->items + (size_t)list->count++ * size;
}

static void note_structure(run *on, bool same)
{
    on->node->same_structure = on->node->same_structure && same;
}

static void add_need(run *on, mw_plan_activity *of, const mw_plan_need *need)
{
    bool there = false;
    mw_plan_need *item = next_item(on, &on->node->needs, sizeof *item, &there);
    if (!item) {
        return;
    }
    note_structure(on, there && item->resource == need->resource && item->amount == need->amount &&
                           item->wait_too == need->wait_too);
    *item = *need;
    of->need_count++;
}

static void add_activity(run *on, const mw_plan_activity *wanted)
{
    bool there = false;
    mw_plan_activity *item = next_item(on, &on->node->activities, sizeof *item, &there);
    if (!item) {
        return;
    }
    note_structure(on, there && item->calendar == wanted->calendar &&
                           item->interrupt == wanted->interrupt &&
                           item->first_need == wanted->first_need &&
                           item->need_count == wanted->need_count && item->group == wanted->group);
    *item = *wanted;
}

static uint32_t resource_of(const plan_node *node, mw_str name)
{
    const mw_shop *shop = node->in->shop;
    for (uint32_t i = 0; i < shop->machine_count; i++) {
        if (mw_same_name(shop->machines[i].name, name)) {
            return shop->trade_count + i;
        }
    }
    for (uint32_t i = 0; i < shop->trade_count; i++) {
        if (mw_same_name(shop->trades[i].name, name)) {
            return i;
        }
    }
    return MW_NONE;
}

static bool named_in(const mw_name_list *list, mw_str name)
{
    for (uint32_t i = 0; i < list->count; i++) {
        if (mw_same_name(list->items[i], name)) {
            return true;
        }
    }
    return false;
}

/* People while they work, machines while it works, those of holds_wait also while it waits. */
static void add_needs(run *on, const planned_step *of, double crew, mw_plan_activity *to)
{
    to->first_need = on->node->needs.count;
    if (of->trade != MW_NONE && crew >= 0.5) {
        add_need(on, to, &(mw_plan_need){of->trade, (uint32_t)ceil(crew - 1e-9), false});
    }
    for (uint32_t i = 0; i < of->row->holds.count; i++) {
        uint32_t machine = resource_of(on->node, of->row->holds.items[i]);
        if (machine != MW_NONE) {
            bool wait = named_in(&of->row->holds_wait, of->row->holds.items[i]);
            add_need(on, to, &(mw_plan_need){machine, 1, wait});
        }
    }
    for (uint32_t i = 0; i < of->row->holds_wait.count; i++) {
        uint32_t machine = resource_of(on->node, of->row->holds_wait.items[i]);
        if (machine != MW_NONE && !named_in(&of->row->holds, of->row->holds_wait.items[i])) {
            add_need(on, to, &(mw_plan_need){machine, 1, true});
        }
    }
}

static void add_lag(run *on, const mw_plan_lag *lag, uint32_t early, uint32_t late)
{
    bool there = false;
    bool meant = false;
    mw_plan_lag *item = next_item(on, &on->node->lags, sizeof *item, &there);
    lag_meaning *meaning =
        item ? next_item(on, &on->node->meanings, sizeof *meaning, &meant) : NULL;
    if (!item || !meaning) {
        return;
    }
    note_structure(on, there && item->from == lag->from && item->to == lag->to &&
                           item->from_end == lag->from_end && item->to_end == lag->to_end &&
                           item->maximum == lag->maximum && item->calendar == lag->calendar &&
                           (item->rework_s > 0.0) == (lag->rework_s > 0.0));
    *item = *lag;
    *meaning = (lag_meaning){early, late};
}

/* Whether there is anything to do or to wait for in a step. */
static bool has_content(const planned_result *of)
{
    return of->work_s > 0.0 || of->wait_s > 0.0;
}

/* Share of a step's work that is not done. */
static double left_of(const run *on, uint32_t s)
{
    return 1.0 - step_inputs(on, s)[IN_DONE];
}

static double labour_of(const run *on, uint32_t s)
{
    const double *in = step_inputs(on, s);
    const double hands = in[IN_CREW] * on->inputs[IN_SHARE];
    return in[IN_HOURS] > 0.0 ? left_of(on, s) * in[IN_HOURS] / hands : 0.0;
}

/* Clock time that the people of the later step take for the rework of a window that was missed. */
static double rework_time(const run *on, uint32_t early, uint32_t late)
{
    double hands = step_inputs(on, late)[IN_CREW] * on->inputs[IN_SHARE];
    double labour_s = step_inputs(on, early)[IN_REWORK];
    return labour_s > 0.0 && hands > 0.0 ? labour_s / hands : 0.0;
}

static double machine_of(const run *on, uint32_t s)
{
    return left_of(on, s) * step_inputs(on, s)[IN_MACHINE_HOURS];
}

/* A step that is done: a moment of the past, from which waits after it count. */
static void add_done(run *on, uint32_t s)
{
    plan_node *node = on->node;
    const double *in = step_inputs(on, s);
    node->results[s] = (planned_result){.planned = true,
                                        .done = true,
                                        .first = node->activities.count,
                                        .count = 1,
                                        .wait_s = in[IN_WAIT],
                                        .window_s = (double)NAN,
                                        .crew = in[IN_CREW]};
    add_activity(on,
                 &(mw_plan_activity){.calendar = node->steps[s].calendar,
                                     .first_need = node->needs.count,
                                     .earliest_s = in[IN_ENDED] > 0.0 ? in[IN_ENDED] : node->now_s,
                                     .group = node->steps[s].mould});
}

/* The waits and windows between one session of a step and the next. */
static void add_between(run *on, uint32_t s, uint32_t session)
{
    const planned_step *of = &on->node->steps[s];
    const double *in = step_inputs(on, s);
    const uint32_t late = on->node->results[s].first + session;
    mw_plan_lag lag = {.from = late - 1,
                       .to = late,
                       .from_end = true,
                       .amount_s = in[IN_SESSION_WAIT],
                       .calendar = plan_node_clock(on->node, of->row->wait_on, of)};
    add_lag(on, &lag, s, s);
    if (of->reads_window) { /* the next coat too goes on while this one is open */
        mw_plan_lag window = {.from = late - 1,
                              .to = late,
                              .to_end = true,
                              .maximum = true,
                              .amount_s = in[IN_WINDOW],
                              .rework_s = rework_time(on, s, s),
                              .calendar = plan_node_clock(on->node, of->row->window_on, of)};
        add_lag(on, &window, s, s);
    }
}

/* Adds the sessions that a step has left as activities, each after the one before. */
static void add_sessions(run *on, uint32_t s)
{
    plan_node *node = on->node;
    const planned_step *of = &node->steps[s];
    planned_result *result = &node->results[s];
    const double *in = step_inputs(on, s);
    if (left_of(on, s) < 1e-9) {
        add_done(on, s);
        return;
    }
    double labour_s = labour_of(on, s);
    bool by_machine = machine_of(on, s) > labour_s;
    double count = fmax(1.0, ceil(left_of(on, s) * round(in[IN_SESSIONS]) - 1e-9));
    *result = (planned_result){.planned = true,
                               .first = node->activities.count,
                               .count = (uint32_t)count,
                               .work_s = fmax(labour_s, machine_of(on, s)),
                               .wait_s = in[IN_WAIT],
                               .session_wait_s = in[IN_SESSION_WAIT],
                               .window_s = of->reads_window ? in[IN_WINDOW] : (double)NAN,
                               .crew = in[IN_CREW]};
    for (uint32_t i = 0; i < result->count; i++) {
        mw_plan_activity item = {.work_s = result->work_s / count,
                                 .calendar = by_machine ? of->machine_calendar : of->calendar,
                                 .interrupt = of->row->interrupt,
                                 .earliest_s =
                                     fmax(node->in->moulds[of->mould].from_s, node->now_s),
                                 .group = of->mould};
        if (has_content(result)) {
            /* a machine that runs by itself is looked after, it does not hold its people */
            add_needs(on, of, by_machine || labour_s == 0.0 ? 0.0 : in[IN_CREW], &item);
        }
        add_activity(on, &item);
        if (i > 0) {
            add_between(on, s, i);
        }
    }
}

/* The wait before a step after another, and the window in which it must cover it. */
static void add_link(run *on, uint32_t early, uint32_t late)
{
    plan_node *node = on->node;
    const planned_result *from = &node->results[early];
    const planned_result *to = &node->results[late];
    const planned_step *of = &node->steps[early];
    uint32_t last = from->first + from->count - 1;
    if (to->done) {
        return;
    }
    mw_plan_lag wait = {.from = last,
                        .to = to->first,
                        .from_end = true,
                        .amount_s = from->wait_s,
                        .calendar = plan_node_clock(node, of->row->wait_on, of)};
    add_lag(on, &wait, early, late);
    bool works = to->work_s > 0.0;
    if (!isnan(from->window_s) && works && of->mould == node->steps[late].mould) {
        mw_plan_lag window = {.from = last,
                              .to = to->first,
                              .to_end = true,
                              .maximum = true,
                              .amount_s = from->window_s,
                              .rework_s = rework_time(on, early, late),
                              .calendar = plan_node_clock(node, of->row->window_on, of)};
        add_lag(on, &window, early, late);
    }
}

static const double *mould_inputs(const run *on, uint32_t m)
{
    return on->inputs + on->node->moulds_at + (size_t)m * IN_MOULD_COUNT;
}

/* Until when a mould must be ready: a date without a time means the end of that day. INFINITY: no date was set. */
static double due_limit(const run *on, uint32_t m)
{
    const double due_s = mould_inputs(on, m)[IN_DUE];
    const bool none = !isfinite(due_s) || due_s >= NEVER_DUE_S;
    const bool day = floor(due_s / MW_DAY_S) * MW_DAY_S == due_s;
    return none ? (double)INFINITY : due_s + (day ? MW_DAY_S : 0.0);
}

/* The moment at which a mould is ready: when all is done and all waits are over. */
static void add_ready(run *on, uint32_t m)
{
    plan_node *node = on->node;
    node->ready_at[m] = node->activities.count;
    const double limit_s = due_limit(on, m);
    const double urgency = mould_inputs(on, m)[IN_URGENCY];
    const bool due = isfinite(limit_s) && urgency >= 0.0 && isfinite(urgency);
    add_activity(on, &(mw_plan_activity){.first_need = node->needs.count,
                                         .earliest_s = node->in->moulds[m].from_s,
                                         .group = m,
                                         .weight = due ? urgency : 0.0,
                                         .due_s = due ? limit_s : 0.0});
    bool any_done = false;
    for (uint32_t s = node->mould_first[m]; s < node->mould_first[m + 1]; s++) {
        any_done = any_done || node->results[s].done;
    }
    for (uint32_t s = node->mould_first[m]; s < node->mould_first[m + 1]; s++) {
        const planned_step *of = &node->steps[s];
        mw_plan_lag wait = {.from = node->results[s].first + node->results[s].count - 1,
                            .to = node->ready_at[m],
                            .from_end = true,
                            .amount_s = node->results[s].wait_s,
                            .calendar = plan_node_clock(node, of->row->wait_on, of)};
        if (!of->followed || any_done) { /* who comes after it may be done by mistake */
            add_lag(on, &wait, s, s);
        }
    }
}

/* Where the plan begins: with what was done first, where something is; and from when on it goes on. */
static void find_now(run *on)
{
    plan_node *node = on->node;
    const double start_s = on->inputs[IN_START];
    const double status_s = on->inputs[IN_STATUS];
    node->now_s = isfinite(status_s) ? fmax(start_s, status_s) : start_s;
    node->start_s = node->now_s;
    for (uint32_t s = 0; s < node->step_count; s++) {
        const double *in = step_inputs(on, s);
        const bool done = in[IN_DONE] > 1.0 - 1e-9 && in[IN_ENDED] > 0.0;
        node->start_s = done ? fmin(node->start_s, in[IN_ENDED]) : node->start_s;
    }
}

/* Puts together the moulds whose numbers are sound; the others keep errors for dates. */
static void gather(run *on)
{
    plan_node *node = on->node;
    const uint32_t activities = node->activities.count;
    const uint32_t needs = node->needs.count;
    const uint32_t lags = node->lags.count;
    node->activities.had = activities;
    node->needs.had = needs;
    node->lags.had = lags;
    node->activities.count = node->needs.count = node->lags.count = node->meanings.count = 0;
    for (uint32_t m = 0; m < node->in->mould_count; m++) {
        bool sound = true;
        for (uint32_t s = node->mould_first[m]; s < node->mould_first[m + 1]; s++) {
            sound = sound && step_sound(on, s);
        }
        for (uint32_t s = node->mould_first[m]; s < node->mould_first[m + 1] && !on->lost; s++) {
            const planned_result before = node->results[s];
            node->results[s] = (planned_result){0};
            if (sound) {
                add_sessions(on, s);
            }
            const planned_result *now = &node->results[s];
            note_structure(on, now->planned == before.planned && now->count == before.count &&
                                   has_content(now) == has_content(&before));
        }
        node->ready_at[m] = MW_NONE;
        if (sound && !on->lost) {
            add_ready(on, m);
        }
    }
    const uint32_t *befores = node->befores.items;
    for (uint32_t s = 0; s < node->step_count && !on->lost; s++) {
        for (uint32_t i = 0; i < node->steps[s].before_count; i++) {
            uint32_t early = befores[node->steps[s].first_before + i];
            if (node->results[s].planned && node->results[early].planned) {
                add_link(on, early, s);
            }
        }
    }
    note_structure(on, activities == node->activities.count && needs == node->needs.count &&
                           lags == node->lags.count);
}

/* ---- put together again, where only amounts differ ---- */

/* Whether a step has the same shape as before: who works on it, in how many sessions, cured by which rule. */
static bool same_shape(const run *on, uint32_t s, const double *before)
{
    static const uint8_t shapes[] = {IN_CREW,         IN_SESSIONS, IN_REWORK,
                                     IN_CURE_ENERGY,  IN_TENT,     IN_CURE_COLDEST,
                                     IN_CURE_HOTTEST, IN_DONE,     IN_ENDED};
    const double *in = step_inputs(on, s);
    const planned_result *was = &on->node->results[s];
    for (size_t i = 0; i < sizeof shapes; i++) {
        if (!same_bits(&in[shapes[i]], &before[shapes[i]], 1)) {
            return false;
        }
    }
    double share = on->inputs[IN_SHARE];
    double left = left_of(on, s); /* as before, like the crew */
    double labour_was_s =
        before[IN_HOURS] > 0.0 ? left * before[IN_HOURS] / (before[IN_CREW] * share) : 0;
    double machine_was_s = left * before[IN_MACHINE_HOURS];
    double labour_s = labour_of(on, s);
    double machine_s = machine_of(on, s);
    return (labour_s == 0.0) == (labour_was_s == 0.0) &&
           (machine_s > labour_s) == (machine_was_s > labour_was_s) &&
           (fmax(labour_s, machine_s) > 0.0) == (was->work_s > 0.0) &&
           (in[IN_WAIT] > 0.0) == (was->wait_s > 0.0);
}

/* Gives a step its amounts. */
static void refresh_step(const run *on, uint32_t s)
{
    plan_node *node = on->node;
    planned_result *of = &node->results[s];
    mw_plan_activity *activities = node->activities.items;
    mw_plan_lag *lags = node->lags.items;
    const double *in = step_inputs(on, s);
    of->work_s = fmax(labour_of(on, s), machine_of(on, s));
    of->wait_s = in[IN_WAIT];
    of->session_wait_s = in[IN_SESSION_WAIT];
    of->window_s = node->steps[s].reads_window ? in[IN_WINDOW] : (double)NAN;
    for (uint32_t i = 0; i < of->count; i++) {
        activities[of->first + i].work_s = of->work_s / (double)of->count;
    }
    const uint32_t *list = node->lags_of.items;
    for (uint32_t i = node->first_lag[s]; i < node->first_lag[s + 1]; i++) {
        mw_plan_lag *lag = &lags[list[i]];
        bool inside = lag->to >= of->first && lag->to < of->first + of->count;
        lag->amount_s = lag->maximum ? of->window_s : inside ? of->session_wait_s : of->wait_s;
    }
}

/* Sorts the lags by the step that they come from. */
static void index_lags(run *on)
{
    plan_node *node = on->node;
    const lag_meaning *meanings = node->meanings.items;
    bool there = false;
    node->lags_of.count = 0;
    memset(node->first_lag, 0, (node->step_count + 1) * sizeof *node->first_lag);
    for (uint32_t i = 0; i < node->meanings.count && !on->lost; i++) {
        node->first_lag[meanings[i].early + 1]++;
        (void)next_item(on, &node->lags_of, sizeof(uint32_t), &there);
    }
    for (uint32_t s = 0; s < node->step_count; s++) {
        node->first_lag[s + 1] += node->first_lag[s];
    }
    uint32_t *list = node->lags_of.items;
    for (uint32_t i = node->meanings.count; i-- > 0 && !on->lost;) {
        list[--node->first_lag[meanings[i].early + 1]] = i;
    }
    for (uint32_t s = 0; s < node->step_count; s++) { /* each has slipped to its first */
        node->first_lag[s] = node->first_lag[s + 1];
    }
    node->first_lag[node->step_count] = node->meanings.count;
}

/* Puts the numbers into what was gathered last. False: it has to be gathered anew. */
static bool refresh(run *on)
{
    plan_node *node = on->node;
    const size_t steps_at = node->steps_at;
    if (!node->gathered_known ||
        memcmp(on->inputs, node->gathered, steps_at * sizeof *on->inputs) != 0 ||
        memcmp(on->inputs + node->moulds_at, node->gathered + node->moulds_at,
               (node->input_count - node->moulds_at) * sizeof *on->inputs) != 0) {
        return false;
    }
    for (uint32_t s = 0; s < node->step_count; s++) {
        double *before = node->gathered + steps_at + (size_t)s * IN_STEP_COUNT;
        const double *in = step_inputs(on, s);
        if (same_bits(before, in, IN_STEP_COUNT)) {
            continue;
        }
        if (!node->results[s].planned || !step_sound(on, s) || !same_shape(on, s, before)) {
            return false;
        }
        refresh_step(on, s);
        memcpy(before, in, IN_STEP_COUNT * sizeof *in);
    }
    return true;
}

/* Time from the start of a session to the end of its wait for which its cure is a guess. */
static double beyond_data(const plan_node *node, uint32_t s, uint32_t session, double until_s)
{
    const planned_step *of = &node->steps[s];
    const planned_result *result = &node->results[s];
    const double start_s = mw_plan_slots(node->plan)[result->first + session].start_s;
    const bool last = session + 1 == result->count;
    const bool waits =
        of->row->wait_on == MW_ON_CURE && (last ? result->wait_s : result->session_wait_s) > 0.0;
    const bool open = of->row->window_on == MW_ON_CURE && !isnan(result->window_s);
    const uint32_t cure = of->cure_calendar - node->in->shop->shift_count - 1;
    if ((!waits && !open) || node->never_beyond[cure]) {
        return 0.0;
    }
    const mw_calendar *beyond = node->beyonds[cure];
    const double amount_s = mw_calendar_amount(beyond, start_s, until_s);
    return amount_s > 0.0 ? amount_s : 0.0;
}

static double advance_on(const plan_node *node, uint32_t calendar, double from_s, double amount_s)
{
    return amount_s == 0.0     ? from_s
           : node->turns_known ? mw_plan_advance(node->plan, calendar, from_s, amount_s)
                               : mw_calendar_advance(node->calendars[calendar], from_s, amount_s);
}

/* Works out the dates of a step from its sessions. */
static void read_step(plan_node *node, uint32_t s)
{
    planned_result *result = &node->results[s];
    const planned_step *of = &node->steps[s];
    const mw_plan_slot *slots = mw_plan_slots(node->plan) + result->first;
    const uint32_t clock = plan_node_clock(node, of->row->wait_on, of);
    result->start_s = slots[0].start_s;
    result->reason = slots[0].reason;
    result->binding = slots[0].binding;
    result->end_s = slots[result->count - 1].end_s;
    result->until_s = isfinite(result->end_s)
                          ? advance_on(node, clock, result->end_s, result->wait_s)
                          : (double)INFINITY;
    result->waiting_s = result->until_s - result->end_s;
    result->queueing_s = 0.0;
    result->sets_date = false;
    result->beyond_s = beyond_data(node, s, result->count - 1, result->until_s);
    for (uint32_t i = 0; i < result->count; i++) {
        if (slots[i].reason == MW_PLAN_RESOURCE && slots[i].start_s > slots[i].ready_s) {
            result->queueing_s += slots[i].start_s - slots[i].ready_s;
        }
        if (i > 0 && isfinite(slots[i - 1].end_s)) {
            double open_s = advance_on(node, clock, slots[i - 1].end_s, result->session_wait_s);
            result->waiting_s += open_s - slots[i - 1].end_s;
            result->beyond_s += beyond_data(node, s, i - 1, open_s);
        }
    }
}

static void set_finite(double *output, double value)
{
    *output = isfinite(value) ? value : mw_error_value(MW_CODE_NEVER);
}

static void write_mould(run *on, uint32_t m, double *ready_s)
{
    plan_node *node = on->node;
    double *out = on->outputs + 1 + (size_t)m * OUT_MOULD_COUNT;
    double first_s = (double)INFINITY;
    double last_s = -(double)INFINITY;
    double waiting_s = 0.0;
    double queueing_s = 0.0;
    double working_s = 0.0;
    for (uint32_t s = node->mould_first[m]; s < node->mould_first[m + 1]; s++) {
        const planned_result *of = &node->results[s];
        if (!of->planned) {
            return;
        }
        first_s = has_content(of) ? fmin(first_s, of->start_s) : first_s;
        last_s = fmax(last_s, of->until_s);
        waiting_s += of->waiting_s;
        queueing_s += of->queueing_s;
        working_s += of->work_s;
    }
    set_finite(&out[OUT_START], isfinite(first_s) ? first_s : on->inputs[IN_START]);
    set_finite(&out[OUT_READY], last_s);
    set_finite(&out[OUT_WAITING], waiting_s);
    set_finite(&out[OUT_QUEUEING], queueing_s);
    set_finite(&out[OUT_WORKING], working_s);
    set_finite(&out[OUT_LATE], fmax(0.0, last_s - due_limit(on, m)));
    *ready_s = fmax(*ready_s, last_s);
}

static void write_outputs(run *on)
{
    plan_node *node = on->node;
    double ready_s = -(double)INFINITY;
    for (uint32_t s = 0; s < node->step_count; s++) {
        if (node->results[s].planned) {
            read_step(node, s);
        }
    }
    if (!plan_node_chain(node)) {
        return; /* no memory: the outputs stay errors */
    }
    for (uint32_t s = 0; s < node->step_count; s++) {
        if (!node->results[s].planned) {
            ready_s = (double)INFINITY; /* a mould without dates: the job has none either */
            continue;
        }
        double *out = on->outputs + 1 + (size_t)node->in->mould_count * OUT_MOULD_COUNT +
                      (size_t)s * OUT_STEP_COUNT;
        set_finite(&out[OUT_STEP_START], node->results[s].start_s);
        set_finite(&out[OUT_STEP_END], node->results[s].end_s);
        set_finite(&out[OUT_STEP_WAITING], node->results[s].waiting_s);
        set_finite(&out[OUT_STEP_QUEUEING], node->results[s].queueing_s);
        set_finite(&out[OUT_STEP_BEYOND], node->results[s].beyond_s);
        if (!node->spare_slack) {
            set_finite(&out[OUT_STEP_SLACK], node->results[s].slack_s);
        }
        if (!node->spare_chain) {
            out[OUT_STEP_SETS] = node->results[s].sets_date ? 1.0 : 0.0;
        }
    }
    for (uint32_t m = 0; m < node->in->mould_count; m++) {
        write_mould(on, m, &ready_s);
    }
    set_finite(&on->outputs[0], ready_s);
}

/* Whether all moulds are planned, and there is one. */
static bool is_whole(const plan_node *node)
{
    bool whole = node->step_count > 0;
    for (uint32_t s = 0; s < node->step_count; s++) {
        whole = whole && node->results[s].planned;
    }
    return whole;
}

bool plan_node_gather(plan_node *node, const double *inputs)
{
    run on = {.node = node, .inputs = inputs};
    node->same_structure = true;
    if (refresh(&on)) {
        return true;
    }
    node->gathered_known = false;
    if (!isfinite(inputs[IN_START]) || !update_cures(&on)) {
        node->turns_known = false;
        return false;
    }
    find_now(&on);
    gather(&on);
    index_lags(&on);
    node->turns_known = node->turns_known && !on.lost;
    node->gathered_known = !on.lost;
    memcpy(node->gathered, inputs, node->input_count * sizeof *inputs);
    return !on.lost;
}

void plan_node_compute(void *context, const double *inputs, uint32_t input_count, double *outputs,
                       uint32_t output_count)
{
    plan_node *node = context;
    run on = {.node = node, .inputs = inputs, .outputs = outputs};
    (void)output_count;
    /* What changes the present build cannot be left half done; trials and builds beside it can. */
    bool trial = node->quiet || node->in != node->in->job->build;
    if (trial && !job_goes_on(node->in->job, -1.0)) {
        return;
    }
    node->newest_known = node->newest_known && node->quiet;
    if (!plan_node_gather(node, inputs) || plan_node_solve(node, inputs, NULL) != MW_OK) {
        return;
    }
    write_outputs(&on);
    if (!node->quiet) {
        memcpy(node->newest, inputs, input_count * sizeof *inputs);
        node->newest_known = is_whole(node);
        plan_node_show(node);
    }
}
