/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Conditions of recipes that somebody should look at: which hold, and which have come up. */
#include "parts.h"

/* A list in the making. */
typedef struct warning_list {
    mw_job *job;
    mw_warning_view *items;
    uint32_t count;
    uint32_t room; /* 0: only counting */
    bool lost;
} warning_list;

/* What the plan warns of by itself. */
static const char beyond_words[] =
    "the room or tent is colder or hotter than the cure data reach: its dates are a guess; give the "
    "material cure points of such temperatures, or keep it warmer or cooler";

static mw_str warning_text(const slot *of)
{
    return of->kind == SLOT_PLAN ? mw_str_of(beyond_words) : of->row->warns;
}

static void add_warning(warning_list *list, uint32_t m, uint32_t slot_at, double value)
{
    const mould *of = &list->job->build->moulds[m];
    if (list->count < list->room) {
        mw_text path = {0};
        mw_job_cell_words(list->job, of->cells[slot_at], &path);
        const mw_str what =
            path.failed ? (mw_str){0}
                        : job_copy(list->job->scratch, (mw_str){mw_text_chars(&path), path.length});
        mw_text_free(&path);
        list->lost = list->lost || !what.at;
        list->items[list->count] = (mw_warning_view){.mould = m,
                                                     .step = of->kit->slots[slot_at].step,
                                                     .what = what,
                                                     .text = warning_text(&of->kit->slots[slot_at]),
                                                     .unclear = mw_error_code(value)};
    }
    list->count++;
}

static void add_mould(warning_list *list, uint32_t m)
{
    const mould *of = &list->job->build->moulds[m];
    for (uint32_t i = 0; i < of->kit->warning_count; i++) {
        const uint32_t slot_at = of->kit->warnings[i];
        const double value = mw_sheet_value(list->job->build->sheet, of->cells[slot_at]);
        const bool plan = of->kit->slots[slot_at].kind == SLOT_PLAN;
        if (plan ? value > 0.0 : value != 0.0) { /* a time; yes, or an error */
            add_warning(list, m, slot_at, value);
        }
    }
}

static void add_all(warning_list *list, uint32_t only)
{
    list->count = 0;
    for (uint32_t m = 0; m < list->job->build->mould_count; m++) {
        if (only == MW_NONE || only == m) {
            add_mould(list, m);
        }
    }
}

mw_status mw_job_warnings(mw_job *job, uint32_t only, const mw_warning_view **warnings,
                          uint32_t *count)
{
    warning_list list = {.job = job};
    add_all(&list, only);
    list.items = mw_arena_get(job->scratch, (list.count + 1) * sizeof *list.items);
    if (!list.items) {
        return MW_NO_MEMORY;
    }
    list.room = list.count;
    add_all(&list, only);
    *warnings = list.items;
    *count = list.count;
    return list.lost ? MW_NO_MEMORY : MW_OK;
}

/* Both lists are in the order of the job, which a change mostly keeps: the search goes on from where the
 * one before was found. */
static bool was_there(const mw_warning_view *of, const warning_set *before, uint32_t *from)
{
    for (uint32_t i = 0; i < before->count; i++) {
        const uint32_t at = (*from + i) % before->count;
        if (mw_str_equal(before->items[at].what, of->what) &&
            before->items[at].unclear == of->unclear) {
            *from = at + 1;
            return true;
        }
    }
    return false;
}

mw_status warnings_new(mw_job *job, const warning_set *before, mw_reply *reply)
{
    const mw_warning_view *now = NULL;
    uint32_t count = 0;
    if (mw_job_warnings(job, MW_NONE, &now, &count) != MW_OK) {
        return MW_NO_MEMORY;
    }
    mw_warning_view *fresh = mw_arena_get(job->scratch, (count + 1) * sizeof *fresh);
    uint32_t from = 0;
    for (uint32_t i = 0; fresh && i < count; i++) {
        if (!was_there(&now[i], before, &from)) {
            fresh[reply->warning_count++] = now[i];
        }
    }
    reply->warnings = fresh;
    return fresh ? MW_OK : MW_NO_MEMORY;
}
