/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Two goals against each other: of all choices those that no other beats. */
#include "whatif.h"

#include <math.h>
#include <stdlib.h>

/* A choice that has both figures, as far as it is wanted: less is better. */
typedef struct choice {
    double first, second;
    uint32_t column;
} choice;

/* By the first goal, the better first; then by the second; then in the order of the columns. */
static int compare_choices(const void *a, const void *b)
{
    const choice *left = a;
    const choice *right = b;
    if (left->first != right->first) {
        return left->first < right->first ? -1 : 1;
    }
    if (left->second != right->second) {
        return left->second < right->second ? -1 : 1;
    }
    return (left->column > right->column) - (left->column < right->column);
}

/* What stays of the choices, in the order of the first goal. */
typedef struct front {
    uint32_t *columns;
    uint32_t *alike;
    uint32_t count;
} front;

/* Walking on from the best by the first goal, a choice is unbeaten while it is better by the second than all before. */
static void find_front(choice *choices, uint32_t count, front *out)
{
    const choice *last = NULL;
    qsort(choices, count, sizeof *choices, compare_choices);
    for (uint32_t i = 0; i < count; i++) {
        const choice *at = &choices[i];
        if (!last || at->second < last->second) {
            out->columns[out->count] = at->column;
            out->alike[out->count++] = 0;
            last = at;
        } else if (at->second == last->second && at->first == last->first) {
            out->alike[out->count - 1]++;
        }
    }
}

/* Only the columns of the front stay. */
static mw_status keep_columns(comparing *with, const front *of)
{
    for (uint32_t r = 0; r < with->row_count; r++) {
        double *values = mw_arena_get(with->job->scratch, ((size_t)of->count + 1) * sizeof *values);
        if (!values) {
            return MW_NO_MEMORY;
        }
        for (uint32_t i = 0; i < of->count; i++) {
            values[i] = with->data[r][of->columns[i]];
        }
        with->rows[r].values = values;
    }
    return MW_OK;
}

static mw_status choose(comparing *with, mw_reply *reply)
{
    mw_arena *arena = with->job->scratch;
    size_t room = (size_t)with->columns + 1;
    front out = {mw_arena_get(arena, room * sizeof *out.columns),
                 mw_arena_get(arena, room * sizeof *out.alike), 0};
    choice *choices = mw_arena_get(arena, room * sizeof *choices);
    if (!out.columns || !out.alike || !choices) {
        return MW_NO_MEMORY;
    }
    uint32_t goals =
        with->setting_count; /* the rows of the goals stand behind those of what is varied */
    double first = with->rows[goals].most ? -1.0 : 1.0;
    double second = with->rows[goals + 1].most ? -1.0 : 1.0;
    uint32_t count = 0;
    for (uint32_t c = 0; c < with->columns; c++) {
        choice one = {first * with->data[goals][c], second * with->data[goals + 1][c], c};
        if (!isnan(one.first) && !isnan(one.second)) {
            choices[count++] = one;
        }
    }
    find_front(choices, count, &out);
    mw_status status = keep_columns(with, &out);
    if (status == MW_OK) {
        status = offers_set(with, out.columns, out.count);
    }
    what_if_reply(with, reply);
    reply->weighed = true;
    reply->column_count = out.count;
    reply->alike = out.alike;
    return status;
}

/* A goal is something that can be more or less. */
static mw_status check_goals(const comparing *with)
{
    for (uint32_t i = 0; i < with->shown_count; i++) {
        const mw_what_if_row *row = &with->rows[with->setting_count + i];
        if (row->type == MW_TYPE_TEXT || row->type == MW_TYPE_TRUTH) {
            mw_diags_error(with->diags, MW_CODE_WRONG_KIND, with->shown[i]->name,
                           "a goal is a number or a date, of which there can be more or less");
            return MW_FAILED;
        }
    }
    return MW_OK;
}

mw_status weigh(mw_job *job, const mw_statement *statement, mw_reply *reply, mw_diags *diags)
{
    comparing with = {.job = job, .diags = diags, .columns_most = WEIGH_MOST};
    mw_status status = what_if_read(&with, statement);
    if (status == MW_OK) {
        status = check_goals(&with);
    }
    if (status == MW_OK) {
        status = columns_run(&with, &reply->changes);
    }
    if (status == MW_OK && !job->stopped) {
        status = choose(&with, reply);
    }
    settings_free(&with);
    reply->kind = MW_REPLY_WHAT_IF; /* told to stop, it says so */
    return status;
}
