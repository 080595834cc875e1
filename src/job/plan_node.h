/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The plan as a node of the sheet: what it reads, what it gives, and its workspace. */
#ifndef MW_JOB_PLAN_NODE_H
#define MW_JOB_PLAN_NODE_H

#include "mouldwright/plan_order.h"
#include "mouldwright/plan_search.h"
#include "parts.h"

/* What one step of one mould gives to the plan, in the order of the inputs. */
enum {
    IN_HOURS,
    IN_MACHINE_HOURS,
    IN_CREW,
    IN_SESSIONS,
    IN_SESSION_WAIT,
    IN_WAIT,
    IN_WINDOW,
    IN_REWORK,
    IN_CURE_ENERGY,
    IN_TENT,
    IN_CURE_COLDEST,
    IN_CURE_HOTTEST,
    IN_DONE,
    IN_ENDED,
    IN_STEP_COUNT
};

/* What a mould gives, behind the steps. */
enum { IN_DUE, IN_URGENCY, IN_MOULD_COUNT };

/* Inputs before those of the steps; counts of trades and machines follow. */
enum {
    IN_START,
    IN_REFERENCE,
    IN_DOUBLING,
    IN_DAY_WARMER,
    IN_NIGHT_WARMER,
    IN_SHARE,
    IN_IMPROVED,
    IN_ORDER,
    IN_STATUS,
    IN_FIXED_COUNT
};

enum {
    OUT_STEP_START,
    OUT_STEP_END,
    OUT_STEP_WAITING,
    OUT_STEP_QUEUEING,
    OUT_STEP_BEYOND,
    OUT_STEP_SLACK,
    OUT_STEP_SETS,
    OUT_STEP_COUNT
};
enum { OUT_START, OUT_READY, OUT_WAITING, OUT_QUEUEING, OUT_WORKING, OUT_LATE, OUT_MOULD_COUNT };

/* A step of a mould in the plan. */
typedef struct planned_step {
    uint32_t mould, step;
    const mw_step_row *row;
    uint32_t trade;    /* resource, or MW_NONE */
    uint32_t calendar; /* of its people */
    uint32_t machine_calendar;
    uint32_t cure_calendar; /* of the newest run */
    uint32_t first_before;  /* in befores[]: planned steps that it follows */
    uint32_t before_count;
    uint32_t window_input; /* MW_NONE: no window */
    bool reads_window;
    bool followed; /* by another step of its mould */
} planned_step;

/* What the newest run knows about a planned step. */
typedef struct planned_result {
    bool planned;
    bool done;             /* all of it: a moment of the past */
    uint32_t first, count; /* its activities */
    double work_s;         /* of all its sessions */
    double wait_s;         /* amount after it, at rate 1 */
    double session_wait_s;
    double window_s;
    double crew;
    double start_s, end_s, until_s; /* until: waits after it over */
    double waiting_s, queueing_s;
    double beyond_s;       /* of its cure, at temperatures that its cure data do not reach */
    double slack_s;        /* how much later it could be for the sake of what follows it */
    bool sets_date;        /* it is in the chain that leads to the last date */
    mw_plan_reason reason; /* what held back its first session */
    uint32_t binding;
} planned_result;

/* A lag with what it stands for. */
typedef struct lag_meaning {
    uint32_t early, late; /* planned steps */
} lag_meaning;

/* Who follows whom in the plan, see plan_ties.h. */
typedef struct plan_ties plan_ties;

typedef struct growing {
    void *items;
    uint32_t count, capacity;
    uint32_t had; /* items when it was filled last */
} growing;

/* Turns that are kept. */
typedef struct kept_order {
    mw_names *names; /* sessions ("hull_port.heavy.1"), in their turns */
    double *from_s;  /* not before; -INFINITY: any time */
    uint32_t room;
} kept_order;

struct plan_node {
    build *in;
    mw_plan *plan;
    plan_ties *ties;
    uint32_t *inputs;
    uint32_t input_count;
    uint32_t steps_at;  /* first input of the steps */
    uint32_t moulds_at; /* first input of the moulds, behind them */
    double start_s;     /* of the newest run: nothing lies before, what is done included */
    double now_s;       /* what is not done does not begin before */
    uint32_t first_output, output_count;
    planned_step *steps;
    uint32_t step_count;
    uint32_t *mould_first; /* by mould: its first planned step; one more at the end */
    uint32_t *ready_at;    /* by mould: the activity that says when it is ready; MW_NONE: none */
    growing befores;       /* uint32_t */
    const mw_calendar *
        *calendars;          /* shifts, always, cures: one a rule, in the order of the steps */
    mw_calendar **owned;     /* the same, owned */
    uint32_t calendar_count; /* of the newest run */
    uint32_t made_count;     /* of `owned`: some cures may be left from earlier runs */
    mw_cure_rule *cures;     /* that the cure calendars were made for */
    mw_calendar **beyonds;   /* beside each of them: where its data do not reach */
    bool *never_beyond;      /* it always does */
    mw_plan_resource *resources;
    uint32_t resource_count;
    mw_plan_promise *promises;
    uint32_t promise_count;
    growing activities, needs, lags, meanings;
    double *gathered; /* the inputs that these were made of */
    bool gathered_known;
    growing lags_of;         /* uint32_t: lags by the step that they come from */
    uint32_t *first_lag;     /* by step, one more than there are: in lags_of */
    planned_result *results; /* of the newest run */
    planned_result *shown;   /* of the newest run that was not quiet */
    planned_result *remembered;
    growing sessions;  /* mw_session, sorted by start */
    growing holds;     /* mw_plan_need, of the sessions */
    growing misses;    /* mw_window_miss */
    growing nevers;    /* mw_never */
    double *newest;    /* inputs of the newest run that was not quiet */
    bool newest_known; /* there was one, and all moulds have dates in it */
    double *order_s; /* by activity: when it started in the best plan that was found, or its turn */
    double *held_s;  /* by activity: in turns that are kept, not before */
    uint32_t order_room, held_room;
    mw_plan_problem problem; /* of what was gathered last */
    kept_order kept;         /* as read from `kept_text` */
    double kept_text;
    bool kept_known;
    bool turns_known;        /* the workspace holds the turns of what was gathered then */
    bool same_structure;     /* what was gathered now differs from that in amounts only */
    growing shown_slots;     /* mw_plan_slot, by activity: of the newest run that was not quiet */
    growing shown_missed;    /* uint32_t: lags */
    mw_plan_outcome outcome; /* of the newest run */
    mw_plan_outcome judged;  /* of the newest run that was not quiet */
    bool quiet;
    bool spare_slack, spare_chain; /* nobody asks for these outputs: they stay errors */
    bool has_memory;
    uint32_t remembered_misses;
};

/* Adds room for one more item and returns it, set to zero; NULL when there is no memory. */
void *growing_add(growing *list, size_t item_size);

/* -- plan_run.c -- */
void plan_node_compute(void *context, const double *inputs, uint32_t input_count, double *outputs,
                       uint32_t output_count);
/* The calendar that a wait or window of a step runs on. */
uint32_t plan_node_clock(const plan_node *node, mw_clockwork on, const planned_step *of);
/* Turns inputs into activities, needs and lags. False: they are no plan, or no memory. */
bool plan_node_gather(plan_node *node, const double *inputs);
/* -- plan_solve.c -- */
/* Plans what was gathered, within the budget of an answer or (not NULL) another. */
mw_status plan_node_solve(plan_node *node, const double *inputs,
                          const mw_plan_budget *budget) MW_MUST_USE;
/* Puts together the problem of what was gathered. */
void plan_node_pose(plan_node *node, const double *inputs);
/* Schedules that an answer may take. */
uint64_t plan_node_effort(const plan_node *node);
/* -- plan_keep.c -- */
/* Reads an order; MW_FAILED: it is none. Free it in any case. */
mw_status kept_order_read(kept_order *kept, mw_str text) MW_MUST_USE;
void kept_order_free(kept_order *kept);
/* The order that the inputs say is kept, or NULL: none. */
mw_status plan_node_kept(plan_node *node, const double *inputs, const kept_order **out) MW_MUST_USE;
/* Places what was gathered and posed, in turn. */
mw_status plan_node_in_turn(plan_node *node, const kept_order *kept) MW_MUST_USE;
/* The shift of that name; the first where there is none. */
uint32_t plan_node_shift(const mw_shop *shop, mw_str name);
/* -- plan_ties.c -- */
plan_ties *plan_ties_new(uint32_t resource_count) MW_MUST_USE;
void plan_ties_free(plan_ties *ties);
/* -- plan_chain.c -- */
/* Marks the steps that lead to the last date and finds the slack of all; the results have their dates. False: no memory.
 */
bool plan_node_chain(plan_node *node) MW_MUST_USE;
/* The cell of a step's output. */
uint32_t plan_node_output(const plan_node *node, uint32_t s, uint32_t output);
/* -- plan_improve.c -- */
/* Fills in what the job knows of an earlier plan, by activity; others stay as they are. */
mw_status plan_node_recall(const plan_node *node, double *order_s) MW_MUST_USE;
/* -- plan_show.c -- */
/* Keeps what reports show of the newest run. */
void plan_node_show(plan_node *node);

#endif
