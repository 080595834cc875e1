/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exact search in whole slots that learns from each dead end.
 *
 * Every activity has a bound below and above its start. Both are kept as keys that only rise while
 * the search goes deeper: key 2a is the least start of activity a, key 2a + 1 minus its greatest. A
 * fact (key, value) says that the key is at least `value`; its opposite is (key ^ 1, 1 - value).
 * Whatever is concluded carries the facts that it follows from, so that a dead end can be traced
 * back to a rule that excludes it for good.
 * Sources: Ohrimenko, Stuckey and Codish, Propagation via lazy clause generation, Constraints 14,
 * 2009; Schutt, Feydy, Stuckey and Wallace, Explaining the cumulative propagator, Constraints 16,
 * 2011; Een and Sorensson, An extensible SAT-solver, SAT 2003. */
#ifndef PLAN_LEARN_H
#define PLAN_LEARN_H

#include "slots.h"

typedef struct learn_fact {
    uint32_t key;
    int32_t value;
} learn_fact;

static inline learn_fact learn_opposite(learn_fact fact)
{
    return (learn_fact){fact.key ^ 1u, 1 - fact.value};
}

/* Why a key rose. */
typedef enum learn_cause {
    LEARN_DECISION,
    LEARN_RULE, /* `at`: the rule; all its other facts are false */
    LEARN_EDGE, /* `at`: a key that is higher by `lag` at most */
    LEARN_FACTS /* `at`: where the list of facts begins */
} learn_cause;

typedef struct learn_step {
    uint32_t key;
    int32_t old, value;
    uint32_t before; /* the step before that raised the same key; MW_NONE: none */
    uint32_t level;
    learn_cause cause;
    uint32_t at;
    int32_t lag;
} learn_step;

/* Facts of which one must hold. Rules lie one behind another in an array of words: head, then
 * facts. The first two facts are watched: each stands in the chain of rules to be looked at when it
 * becomes false. */
typedef struct learn_head {
    uint32_t count;
    uint32_t levels;  /* how many levels its facts came from when it was learned; 0: removed */
    uint32_t next[2]; /* the chains; a link is rule * 2 + which */
} learn_head;

enum { LEARN_HEAD_WORDS = 4, LEARN_FACT_WORDS = 2 };

typedef struct learn_edge {
    uint32_t key;
    int32_t lag;
} learn_edge;

typedef struct learn {
    const slots_net *net;
    uint32_t count; /* activities, and the end of all behind them */
    int32_t room;   /* values of a key: starts from 0 to room - 2 */

    int32_t *bounds;     /* by key */
    int32_t *roots;      /* by key: what holds without any decision */
    uint32_t *last_step; /* by key; MW_NONE: never rose */
    uint32_t *edge_first;
    learn_edge *edges; /* by key: what rises with it */

    void *steps; /* learn_step */
    uint32_t step_count, step_room, seen_count;
    void *level_first; /* uint32_t: the first step of each level but 0 */
    uint32_t level_count, level_room;
    void *facts; /* learn_fact: reasons of the cause LEARN_FACTS, each with its count before it */
    uint32_t fact_count, fact_room;

    void *words; /* uint32_t: rules */
    uint32_t word_count, word_room;
    uint32_t rule_count, rule_limit;
    uint32_t *watches; /* by key and value: the first link of its chain; MW_NONE */

    /* Time table: what is left of each slot by the parts of activities that are certain. */
    uint64_t *free;
    int32_t touched_from, touched_until; /* where it changed since last filtered */
    int32_t full_at;                     /* a slot in which more is certain than there is; -1 */
    bool *moved;                         /* by activity: its bounds changed since last filtered */

    /* Activity of facts [activity, value]: how much they were in dead ends of late. */
    double *scores;
    uint32_t *heap, *heap_place;
    uint32_t heap_count;
    double bump;
    const int32_t *wish; /* starts to be tried first; NULL: early ones */

    /* The dead end being traced. */
    learn_fact *clash;
    uint32_t clash_count;
    int32_t *needs;       /* by key: the value needed */
    uint32_t *need_steps; /* by key: the step that brought it; MW_NONE: not needed */
    uint32_t *need_keys;  /* each once */
    uint32_t need_count;
    uint32_t *key_marks; /* by key: the dead end in which it was listed last */
    learn_fact *rule;    /* the rule learned */
    uint32_t *level_marks;
    uint32_t mark;

    uint64_t conflicts;
    bool hopeless; /* proved: there are no starts, however late the end */
    bool no_memory;
} learn;

/* --- learn_store.c ---------------------------------------------------------------------------- */

/* Makes the store for starts from 0 to `last`; arrays come from `arena`, what grows must be given
 * back by learn_free(). */
mw_status learn_make(learn *l, const slots_net *net, int32_t last, mw_arena *arena) MW_MUST_USE;
void learn_free(learn *l);

static inline bool learn_holds(const learn *l, learn_fact fact)
{
    return l->bounds[fact.key] >= fact.value;
}

static inline bool learn_excluded(const learn *l, learn_fact fact)
{
    return l->bounds[fact.key ^ 1u] >= 1 - fact.value;
}

typedef struct learn_why {
    learn_cause cause;
    uint32_t at;
    int32_t lag;
} learn_why;

/* Makes a fact hold. Returns false when its opposite does: then `clash` has the facts that
 * contradict each other. */
bool learn_raise(learn *l, learn_fact fact, learn_why why) MW_MUST_USE;

/* Begins a new level with a decision. */
void learn_decide(learn *l, learn_fact fact);

/* Takes back all levels above `level`. */
void learn_retreat(learn *l, uint32_t level);

/* Begins a list of facts that a conclusion follows from; ends it and returns where it begins. */
void learn_add_fact(learn *l, learn_fact fact);
uint32_t learn_end_facts(learn *l, uint32_t first);

/* Writes to `out` the facts that made a step's key reach `value`; returns how many. */
uint32_t learn_explain(const learn *l, const learn_step *step, int32_t value, learn_fact *out);

/* --- learn_rules.c ---------------------------------------------------------------------------- */

/* Adds a rule of two facts or more, the first two to be watched. Returns it; MW_NONE: no memory. */
uint32_t learn_add_rule(learn *l, const learn_fact *facts, uint32_t count, uint32_t levels);

/* Looks at the rules in which a fact became false when a key rose. Returns false at a clash. */
bool learn_watch(learn *l, const learn_step *step) MW_MUST_USE;

/* Throws away half of the rules that were learned from many levels. Only at level 0. */
void learn_forget(learn *l);

/* --- learn_time.c ----------------------------------------------------------------------------- */

/* Enters what became certain by a step into the time table, or takes it out again. */
void learn_take_part(learn *l, const learn_step *step);
void learn_give_part(learn *l, const learn_step *step);

/* Enters what is certain from the beginning. */
void learn_take_roots(learn *l);
/* Nothing changed since last filtered. */
void learn_calm(learn *l);

/* Raises bounds by the time table. Returns false at a clash. */
bool learn_filter(learn *l) MW_MUST_USE;

/* --- learn_trace.c ---------------------------------------------------------------------------- */

/* Concludes all that follows. Returns false at a clash. */
bool learn_conclude(learn *l) MW_MUST_USE;

/* Traces the clash back to a rule, goes back to where the rule says something new, and makes it
 * hold. Returns false when no level is left: the problem has no solution. */
bool learn_from_clash(learn *l) MW_MUST_USE;

/* --- learn_score.c ---------------------------------------------------------------------------- */

void learn_bump(learn *l, learn_fact fact);
void learn_cool(learn *l);
/* The fact [activity, value] may be decided on again. */
void learn_offer(learn *l, uint32_t index);
/* Returns an undecided fact in dead ends of late; key MW_NONE: none. */
learn_fact learn_pick(learn *l);

/* --- learn_search.c --------------------------------------------------------------------------- */

typedef enum learn_verdict { LEARN_FOUND, LEARN_NONE, LEARN_GAVE_UP } learn_verdict;

/* Looks for starts that end by `end`; they are then in the bounds 2a until the next call. Gives up
 * when so many conflicts have been met in all, or when told to stop. */
learn_verdict learn_search(learn *l, int32_t end, uint64_t conflicts,
                           const mw_slots_budget *budget);

#endif
