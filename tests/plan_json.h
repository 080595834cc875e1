/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writes a problem and its plan as the JSON object that tests/plan_check.c reads, and runs that
 * program on it. */
#ifndef TESTS_PLAN_JSON_H
#define TESTS_PLAN_JSON_H

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "mouldwright/plan_search.h"
#include "support.h"

#define JSON_BEHIND_S (3.0 * MW_DAY_S) /* how far behind the last moment calendars are written */

typedef struct plan_claim {
    const mw_plan_slot *slots;
    const uint32_t *missed;
    uint32_t missed_count;
    bool whole;
    double last_s, bound_s;
    bool judged; /* these two count */
    double late_s, moved_s;
} plan_claim;

static inline double json_horizon(const mw_plan_problem *p, const plan_claim *claim)
{
    double last_s = p->start_s;
    for (uint32_t a = 0; a < p->activity_count; a++) {
        last_s = isfinite(claim->slots[a].end_s) ? fmax(last_s, claim->slots[a].end_s) : last_s;
    }
    return ceil((last_s + JSON_BEHIND_S) / MW_DAY_S) * MW_DAY_S;
}

/* The open stretches of a calendar, found by asking for every minute. */
static inline void json_calendar(FILE *out, const mw_calendar *calendar, double from_s,
                                 double until_s)
{
    bool first = true;
    fputc('[', out);
    for (double at_s = from_s; at_s < until_s;) {
        double rate = mw_calendar_rate(calendar, at_s);
        double begin_s = at_s;
        do {
            at_s += 60.0;
        } while (at_s < until_s && mw_calendar_rate(calendar, at_s) == rate);
        if (rate > 0.0) {
            fprintf(out, "%s[%.0f,%.0f,%.17g]", first ? "" : ",", begin_s, at_s, rate);
            first = false;
        }
    }
    fputc(']', out);
}

static inline void json_number(FILE *out, double number)
{
    if (isfinite(number)) {
        fprintf(out, "%.17g", number);
    } else {
        fputs("null", out);
    }
}

static inline void json_activity(FILE *out, const mw_plan_problem *p, uint32_t index)
{
    const mw_plan_activity *row = &p->activities[index];
    fprintf(out, "%s{\"work\":%.17g,\"calendar\":%u,\"interrupt\":%s,\"earliest\":",
            index == 0 ? "" : ",\n", row->work_s, (unsigned)row->calendar,
            row->interrupt ? "true" : "false");
    json_number(out, row->earliest_s);
    if (row->weight > 0.0) {
        fprintf(out, ",\"weight\":%.17g,\"due\":%.17g", row->weight, row->due_s);
    }
    if (row->agreed) {
        fprintf(out, ",\"agreed\":%.17g", row->agreed_s);
    }
    fputs(",\"needs\":[", out);
    for (uint32_t n = 0; n < row->need_count; n++) {
        const mw_plan_need *need = &p->needs[row->first_need + n];
        fprintf(out, "%s[%u,%u,%s]", n == 0 ? "" : ",", (unsigned)need->resource,
                (unsigned)need->amount, need->wait_too ? "true" : "false");
    }
    fputs("]}", out);
}

static inline void json_lag(FILE *out, const mw_plan_lag *lag, bool first)
{
    fprintf(out, "%s[%u,%s,%u,%s,%s,", first ? "" : ",\n", (unsigned)lag->from,
            lag->from_end ? "true" : "false", (unsigned)lag->to, lag->to_end ? "true" : "false",
            lag->maximum ? "true" : "false");
    json_number(out, lag->amount_s);
    fprintf(out, ",%u]", (unsigned)lag->calendar);
}

static inline void json_problem(FILE *out, const mw_plan_problem *p, double horizon_s)
{
    fputs("\"calendars\":[", out);
    for (uint32_t i = 0; i < p->calendar_count; i++) {
        fputs(i == 0 ? "" : ",\n", out);
        json_calendar(out, p->calendars[i], floor(p->start_s / MW_DAY_S) * MW_DAY_S, horizon_s);
    }
    fputs("],\n\"resources\":[", out);
    for (uint32_t i = 0; i < p->resource_count; i++) {
        fprintf(out, "%s%u", i == 0 ? "" : ",", (unsigned)p->resources[i].capacity);
    }
    fputs("],\n\"promises\":[", out);
    for (uint32_t i = 0; i < p->promise_count; i++) {
        const mw_plan_promise *promise = &p->promises[i];
        fprintf(out, "%s[%u,%u,%.17g,%.17g]", i == 0 ? "" : ",", (unsigned)promise->resource,
                (unsigned)promise->amount, promise->from_s, promise->until_s);
    }
    fputs("],\n\"activities\":[", out);
    for (uint32_t i = 0; i < p->activity_count; i++) {
        json_activity(out, p, i);
    }
    fputs("],\n\"lags\":[", out);
    for (uint32_t i = 0; i < p->lag_count; i++) {
        json_lag(out, &p->lags[i], i == 0);
    }
    fputs("],\n", out);
}

static inline void json_write(FILE *out, const mw_plan_problem *p, const plan_claim *claim)
{
    double horizon_s = json_horizon(p, claim);
    fprintf(out,
            "{\"start\":%.17g,\"horizon\":%.17g,\"whole\":%s,\"last\":%.17g,\"bound\":%.17g,\n",
            p->start_s, horizon_s, claim->whole ? "true" : "false", claim->last_s,
            isfinite(claim->bound_s) ? claim->bound_s : claim->last_s);
    if (claim->judged) {
        fprintf(out, "\"late\":%.17g,\"moved\":%.17g,\n", claim->late_s, claim->moved_s);
    }
    json_problem(out, p, horizon_s);
    fputs("\"plan\":[", out);
    for (uint32_t a = 0; a < p->activity_count; a++) {
        const mw_plan_slot *slot = &claim->slots[a];
        if (isfinite(slot->start_s)) {
            fprintf(out, "%s[%.17g,%.17g]", a == 0 ? "" : ",\n", slot->start_s, slot->end_s);
        } else {
            fputs(a == 0 ? "null" : ",\nnull", out);
        }
    }
    fputs("],\n\"missed\":[", out);
    for (uint32_t i = 0; i < claim->missed_count; i++) {
        fprintf(out, "%s%u", i == 0 ? "" : ",", (unsigned)claim->missed[i]);
    }
    fputs("]}\n", out);
}

/* The claim that goes with a plan that was searched. */
static inline plan_claim json_claim(const mw_plan *plan, const mw_plan_outcome *outcome)
{
    plan_claim claim = {.slots = mw_plan_slots(plan),
                        .whole = outcome->verdict == MW_PLAN_PLANNED,
                        .last_s = outcome->last_s,
                        .bound_s = outcome->bound_s,
                        .judged = true,
                        .late_s = outcome->late_s,
                        .moved_s = outcome->moved_s};
    claim.missed = mw_plan_missed(plan, &claim.missed_count);
    return claim;
}

/* Runs plan_check, which stands beside the test program, on a plan. Returns its exit status and
 * what it says. */
static inline int json_check(const mw_plan_problem *p, const plan_claim *claim, char *says,
                             size_t size)
{
    char program[512], command[600];
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);
    assert_true(length > 0);
    program[length] = '\0';
    *strrchr(program, '/') = '\0';
    char path[] = "/tmp/mouldwright-plan-XXXXXX";
    int descriptor = mkstemp(path);
    assert_true(descriptor >= 0);
    FILE *out = fdopen(descriptor, "w");
    assert_non_null(out);
    json_write(out, p, claim);
    assert_int_equal(fclose(out), 0);
    snprintf(command, sizeof command, "'%s/plan_check' %s", program, path);
    FILE *answer = popen(command, "r");
    assert_non_null(answer);
    says[0] = '\0';
    if (fgets(says, (int)size, answer) != NULL) {
        says[strcspn(says, "\n")] = '\0';
    }
    int status = pclose(answer);
    unlink(path);
    return status / 256;
}

#endif
