/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An order of work that is kept: `job.order` lists sessions in their turns, some with the moment before which they are not
 * begun. Each plan is then one schedule in these turns, with what holds by now: nothing is searched, nothing is
 * foreseen.
 *
 * order   = session { "," session }
 * session = MOULD "." STEP [ "." NUMBER ] [ DATE [ "T" TIME [ "." DIGITS ] ] ]        NUMBER: 1 where it is left out
 *
 * The moments are those of work that the plan had held back so that the window after it is kept: people who follow the
 * plan wait as well, and who is late by then does not. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "bits.h"
#include "mouldwright/memory.h"
#include "plan_node.h"

/* ---- reading ---- */

void kept_order_free(kept_order *kept)
{
    mw_names_free(kept->names);
    mw_memory_give(kept->from_s);
    *kept = (kept_order){0};
}

static bool is_blank(char c)
{
    return c == ' ' || c == '\t' || c == '\n' || c == '\r';
}

/* A moment with parts of a second. Returns the bytes used; 0: it is none. */
static size_t read_moment(mw_str text, double *at_s)
{
    bool exists = false;
    size_t used = mw_date_read(text, at_s, &exists);
    double part_s = 0.1;
    if (used == 0 || !exists) {
        return 0;
    }
    if (used < text.length && text.at[used] == '.') {
        for (used++; used < text.length && text.at[used] >= '0' && text.at[used] <= '9'; used++) {
            *at_s += part_s * (text.at[used] - '0');
            part_s /= 10.0;
        }
        *at_s = round(*at_s * 1024.0) / 1024.0; /* as moments of a plan are */
    }
    return used;
}

static mw_status add_session(kept_order *kept, mw_str name, double from_s)
{
    size_t dots = 0;
    for (size_t i = 0; i < name.length; i++) {
        dots += name.at[i] == '.';
    }
    if (dots != 1 && dots != 2) {
        return MW_FAILED;
    }
    mw_text full = {0};
    mw_text_add_str(&full, name);
    mw_text_adds(&full, dots == 2 ? "" : ".1");
    uint32_t before = mw_names_count(kept->names);
    uint32_t at = full.failed
                      ? MW_NONE
                      : mw_names_add(kept->names, (mw_str){mw_text_chars(&full), full.length});
    mw_text_free(&full);
    if (at == MW_NONE || at < before) {
        return at == MW_NONE ? MW_NO_MEMORY : MW_FAILED; /* named twice */
    }
    void *list = kept->from_s;
    if (!mw_memory_grow32(&list, &kept->room, at + 1, sizeof *kept->from_s)) {
        return MW_NO_MEMORY;
    }
    kept->from_s = list;
    kept->from_s[at] = from_s;
    return MW_OK;
}

/* One session at the start of `text`. `*used`: the bytes that it takes. */
static mw_status read_session(kept_order *kept, mw_str text, size_t *used)
{
    size_t end = 0;
    while (end < text.length && text.at[end] != ',' && !is_blank(text.at[end])) {
        end++;
    }
    size_t at = end;
    double from_s = -(double)INFINITY;
    while (at < text.length && is_blank(text.at[at])) {
        at++;
    }
    if (at < text.length && text.at[at] != ',') {
        size_t length = read_moment((mw_str){text.at + at, text.length - at}, &from_s);
        at += length;
        if (length == 0) {
            return MW_FAILED;
        }
    }
    while (at < text.length && is_blank(text.at[at])) {
        at++;
    }
    if (end == 0 || (at < text.length && text.at[at] != ',')) {
        return MW_FAILED;
    }
    *used = at < text.length ? at + 1 : at;
    return add_session(kept, (mw_str){text.at, end}, from_s);
}

/* `*rest`: what was not read. */
static mw_status read_order(kept_order *kept, mw_str text, mw_str *rest)
{
    kept_order_free(kept);
    kept->names = mw_names_new();
    mw_status status = kept->names ? MW_OK : MW_NO_MEMORY;
    *rest = mw_str_trim(text);
    while (status == MW_OK && rest->length > 0) {
        size_t used = 0;
        status = read_session(kept, *rest, &used);
        if (status == MW_OK) {
            *rest = mw_str_trim((mw_str){rest->at + used, rest->length - used});
        }
    }
    return status;
}

mw_status kept_order_read(kept_order *kept, mw_str text)
{
    mw_str rest;
    return read_order(kept, text, &rest);
}

mw_status job_order_check(mw_str text, mw_str *bad)
{
    kept_order kept = {0};
    mw_status status = read_order(&kept, text, bad);
    kept_order_free(&kept);
    return status;
}

/* ---- using ---- */

/* The session's name as the list has it; `number` from 0. */
static mw_str session_name(const plan_node *node, uint32_t s, uint32_t number, mw_text *room)
{
    mw_text_clear(room);
    mw_text_add_str(room, node->in->moulds[node->steps[s].mould].name);
    mw_text_addc(room, '.');
    mw_text_add_str(room, node->steps[s].row->name);
    mw_text_addf(room, ".%u", (unsigned)number + 1);
    return (mw_str){mw_text_chars(room), room->length};
}

/* What the order says of each activity that was gathered: its turn, and the moment before which it is not begun. A
 * session that is new goes with the one before it, or behind all others, as far as nothing in turn has to follow it. */
static mw_status give_turns(plan_node *node, const kept_order *kept)
{
    mw_text room = {0};
    for (uint32_t a = 0; a < node->activities.count; a++) {
        node->order_s[a] = (double)INFINITY; /* when a mould is ready */
        node->held_s[a] = -(double)INFINITY;
    }
    for (uint32_t s = 0; s < node->step_count; s++) {
        const planned_result *of = &node->results[s];
        for (uint32_t i = 0; of->planned && i < of->count; i++) {
            uint32_t at = mw_names_find(kept->names, session_name(node, s, i, &room));
            uint32_t a = of->first + i;
            double last = i > 0 ? node->order_s[a - 1] : (double)INFINITY;
            node->order_s[a] = at != MW_NONE ? (double)at : last;
            node->held_s[a] = at != MW_NONE && kept->from_s ? kept->from_s[at] : -(double)INFINITY;
        }
    }
    mw_status status = room.failed ? MW_NO_MEMORY : MW_OK;
    mw_text_free(&room);
    return status;
}

static bool turns_room(plan_node *node)
{
    void *order_s = node->order_s;
    void *held_s = node->held_s;
    bool room = mw_memory_grow32(&held_s, &node->held_room, node->activities.count + 1,
                                 sizeof *node->held_s);
    node->held_s = held_s;
    room = room && mw_memory_grow32(&order_s, &node->order_room, node->activities.count + 1,
                                    sizeof *node->order_s);
    node->order_s = order_s;
    return room;
}

static mw_status begin_turns(plan_node *node, const kept_order *kept)
{
    mw_status status = turns_room(node) ? MW_OK : MW_NO_MEMORY;
    status = status == MW_OK ? give_turns(node, kept) : status;
    if (status == MW_OK) {
        status = mw_plan_keep_order(node->plan, &node->problem, node->order_s);
    }
    node->turns_known = status == MW_OK;
    return status;
}

mw_status plan_node_in_turn(plan_node *node, const kept_order *kept)
{
    if (!node->turns_known || !node->same_structure) {
        mw_status status = begin_turns(node, kept);
        if (status != MW_OK) {
            return status;
        }
    }
    mw_plan_activity *activities = node->activities.items;
    for (uint32_t a = 0; a < node->activities.count; a++) {
        activities[a].earliest_s = fmax(activities[a].earliest_s, node->held_s[a]);
    }
    mw_plan_again(node->plan, MW_PLAN_IN_TURN);
    return MW_OK;
}

mw_status plan_node_kept(plan_node *node, const double *inputs, const kept_order **out)
{
    const mw_values *values = mw_sheet_values(node->in->sheet);
    mw_str text = mw_values_text_of(values, inputs[IN_ORDER]);
    *out = NULL;
    if (text.length == 0) {
        return MW_OK;
    }
    if (!node->kept_known || !same_bits(&node->kept_text, &inputs[IN_ORDER], 1)) {
        node->kept_known = node->turns_known = false;
        mw_status status = kept_order_read(&node->kept, text);
        if (status != MW_OK) {
            return status;
        }
        node->kept_text = inputs[IN_ORDER];
        node->kept_known = true;
    }
    *out = &node->kept;
    return MW_OK;
}

/* ---- writing ---- */

/* The present plan as an order. */
typedef struct turns {
    plan_node *node;
    const mw_plan_slot *slots; /* of the present plan */
    uint32_t *list;            /* activities that are something to do, by start */
    uint32_t count;
    uint32_t *step_of; /* by activity */
    double *held_s;    /* by activity */
} turns;

static bool before_in_plan(const turns *of, uint32_t a, uint32_t b)
{
    return of->slots[a].start_s < of->slots[b].start_s ||
           (a < b && of->slots[a].start_s == of->slots[b].start_s);
}

/* Insertion: sessions of a mould come nearly sorted. */
static void list_turns(turns *of)
{
    const plan_node *node = of->node;
    for (uint32_t s = 0; s < node->step_count; s++) {
        const planned_result *step = &node->results[s];
        for (uint32_t i = 0; i < step->count; i++) {
            uint32_t a = step->first + i;
            of->step_of[a] = s;
            of->held_s[a] = -(double)INFINITY;
            if (step->work_s == 0.0 && step->wait_s == 0.0) {
                continue;
            }
            uint32_t place = of->count++;
            while (place > 0 && before_in_plan(of, a, of->list[place - 1])) {
                of->list[place] = of->list[place - 1];
                place--;
            }
            of->list[place] = a;
        }
    }
}

static void moment_words(double at_s, mw_text *out)
{
    double whole_s = floor(at_s);
    mw_text_addc(out, ' ');
    mw_date_words(whole_s, out);
    if (at_s >
        whole_s) { /* at midnight the time is left out, and the seconds where there are none */
        char part[16];
        double rest_s = fmod(whole_s, MW_DAY_S);
        mw_text_adds(out, rest_s == 0.0 ? "T00:00:00" : fmod(whole_s, 60.0) == 0.0 ? ":00" : "");
        int length = snprintf(part, sizeof part, "%.10f", at_s - whole_s);
        mw_text_add(out, part + 1, (size_t)length - 1);
    }
}

static void write_turns(const turns *of, mw_text *out)
{
    const plan_node *node = of->node;
    mw_text room = {0};
    for (uint32_t i = 0; i < of->count; i++) {
        uint32_t a = of->list[i];
        const planned_result *step = &node->results[of->step_of[a]];
        mw_str name = session_name(node, of->step_of[a], a - step->first, &room);
        name.length -= step->count == 1 ? 2 : 0; /* `.1` goes without saying */
        mw_text_adds(out, i > 0 ? ", " : "");
        mw_text_add_str(out, name);
        if (isfinite(of->held_s[a])) {
            moment_words(of->held_s[a], out);
        }
    }
    out->failed = out->failed || room.failed;
    mw_text_free(&room);
}

/* Whether a window is missed in a schedule that the present plan keeps. */
static bool newly_missed(const plan_node *node, uint32_t lag)
{
    for (uint32_t i = 0; i < node->shown_missed.count; i++) {
        if (((const uint32_t *)node->shown_missed.items)[i] == lag) {
            return false;
        }
    }
    return true;
}

/* Holds back what the present plan holds back, where it is needed for a window. Returns whether there was anything. */
static bool hold_back(turns *of)
{
    const mw_plan_lag *lags = of->node->lags.items;
    const mw_plan_slot *placed = mw_plan_slots(of->node->plan);
    uint32_t count = 0;
    const uint32_t *missed = mw_plan_missed(of->node->plan, &count);
    bool any = false;
    for (uint32_t i = 0; i < count; i++) {
        uint32_t from = lags[missed[i]].from;
        if (newly_missed(of->node, missed[i]) && placed[from].start_s < of->slots[from].start_s &&
            of->held_s[from] < of->slots[from].start_s) {
            of->held_s[from] = of->slots[from].start_s;
            any = true;
        }
    }
    return any;
}

/* Tries the order until it misses no window that the plan keeps. */
static mw_status try_turns(turns *of)
{
    kept_order kept = {0};
    mw_text words = {0};
    mw_status status = MW_OK;
    bool more = true;
    for (uint32_t round = 0; more && status == MW_OK && round <= of->count; round++) {
        mw_text_clear(&words);
        write_turns(of, &words);
        status = words.failed
                     ? MW_NO_MEMORY
                     : kept_order_read(&kept, (mw_str){mw_text_chars(&words), words.length});
        of->node->turns_known = false;
        status = status == MW_OK ? plan_node_in_turn(of->node, &kept) : status;
        of->node->turns_known = false;
        more = status == MW_OK && hold_back(of);
    }
    mw_text_free(&words);
    kept_order_free(&kept);
    return status;
}

mw_status plan_node_order_words(plan_node *node, mw_text *out)
{
    mw_arena *scratch = node->in->job->scratch;
    if (!plan_node_gather(node, node->newest)) {
        return MW_NO_MEMORY;
    }
    plan_node_pose(node, node->newest);
    size_t room = (size_t)node->activities.count + 1;
    turns of = {.node = node,
                .slots = node->shown_slots.items,
                .list = mw_arena_get(scratch, room * sizeof *of.list),
                .step_of = mw_arena_get(scratch, room * sizeof *of.step_of),
                .held_s = mw_arena_get(scratch, room * sizeof *of.held_s)};
    if (!of.list || !of.step_of || !of.held_s ||
        node->shown_slots.count != node->activities.count) {
        return MW_NO_MEMORY;
    }
    list_turns(&of);
    mw_status status = try_turns(&of);
    node->gathered_known = false; /* its moments are no longer the job's */
    if (status == MW_OK) {
        write_turns(&of, out);
    }
    return status == MW_OK && out->failed ? MW_NO_MEMORY : status;
}
