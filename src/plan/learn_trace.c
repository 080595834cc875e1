/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Concluding, and learning a rule from a clash.
 *
 * The clash is traced back step by step, newest first, until only one of the facts that it follows
 * from is of the newest level. The opposite of one of those facts must hold: the rule.
 * Source: Marques-Silva and Sakallah, GRASP, IEEE Trans. Computers 48, 1999; Een and Sorensson,
 * SAT 2003. */
#include "learn.h"

static const learn_step *step_at(const learn *l, uint32_t index)
{
    return (const learn_step *)l->steps + index;
}

static bool follow_edges(learn *l, const learn_step *step)
{
    uint32_t key = step->key;
    int32_t value = step->value;
    for (uint32_t e = l->edge_first[key]; e < l->edge_first[key + 1]; e++) {
        learn_fact fact = {l->edges[e].key, value + l->edges[e].lag};
        if (!learn_raise(l, fact, (learn_why){LEARN_EDGE, key, l->edges[e].lag})) {
            return false;
        }
    }
    return true;
}

static bool follow_steps(learn *l)
{
    while (l->seen_count < l->step_count && !l->no_memory) {
        learn_step step = *step_at(l, l->seen_count++);
        if (!follow_edges(l, &step) || !learn_watch(l, &step)) {
            return false;
        }
    }
    return true;
}

bool learn_conclude(learn *l)
{
    do {
        if (!follow_steps(l) || !learn_filter(l)) {
            return false;
        }
    } while (l->seen_count < l->step_count && !l->no_memory);
    return true;
}

/* Returns the step that made a key reach a value. */
static uint32_t find_step(const learn *l, learn_fact fact)
{
    uint32_t index = l->last_step[fact.key];
    while (step_at(l, index)->old >= fact.value) {
        index = step_at(l, index)->before;
    }
    return index;
}

/* Adds a fact to those needed; returns by how much the number of those of level `level` changed. */
static int add_need(learn *l, learn_fact fact, uint32_t level)
{
    uint32_t was = l->need_steps[fact.key];
    if (fact.value <= l->roots[fact.key] || (was != MW_NONE && l->needs[fact.key] >= fact.value)) {
        return 0;
    }
    uint32_t index = find_step(l, fact);
    if (l->key_marks[fact.key] != l->mark) {
        l->key_marks[fact.key] = l->mark;
        l->need_keys[l->need_count++] = fact.key;
    }
    l->needs[fact.key] = fact.value;
    l->need_steps[fact.key] = index;
    learn_bump(l, fact);
    int added = step_at(l, index)->level == level ? 1 : 0;
    int lost = was != MW_NONE && step_at(l, was)->level == level ? 1 : 0;
    return added - lost;
}

static void drop_need(learn *l, uint32_t key)
{
    l->need_steps[key] = MW_NONE;
}

/* The highest level of the facts of the clash that do not hold from the root. */
static uint32_t clash_level(const learn *l)
{
    uint32_t level = 0;
    for (uint32_t i = 0; i < l->clash_count; i++) {
        learn_fact fact = l->clash[i];
        if (fact.value > l->roots[fact.key]) {
            uint32_t at = step_at(l, find_step(l, fact))->level;
            level = at > level ? at : level;
        }
    }
    return level;
}

/* Traces back until one fact of the level is left; returns its key. */
static uint32_t trace_back(learn *l, uint32_t level)
{
    int open = 0;
    l->need_count = 0;
    l->mark++;
    for (uint32_t i = 0; i < l->clash_count; i++) {
        open += add_need(l, l->clash[i], level);
    }
    for (uint32_t index = l->step_count; index-- > 0;) {
        const learn_step *step = step_at(l, index);
        if (l->need_steps[step->key] != index) {
            continue;
        }
        if (open == 1) {
            return step->key;
        }
        uint32_t count = learn_explain(l, step, l->needs[step->key], l->clash);
        drop_need(l, step->key);
        open--;
        for (uint32_t i = 0; i < count; i++) {
            open += add_need(l, l->clash[i], level);
        }
    }
    return MW_NONE;
}

static bool is_needed(const learn *l, learn_fact fact)
{
    return fact.value <= l->roots[fact.key] ||
           (l->need_steps[fact.key] != MW_NONE && l->needs[fact.key] >= fact.value);
}

/* Whether a needed fact follows from the others. */
static bool is_implied(learn *l, uint32_t key)
{
    const learn_step *step = step_at(l, l->need_steps[key]);
    if (step->cause == LEARN_DECISION) {
        return false;
    }
    uint32_t index = l->need_steps[key];
    uint32_t count = learn_explain(l, step, l->needs[key], l->clash);
    l->need_steps[key] = MW_NONE; /* it must not speak for itself */
    bool implied = true;
    for (uint32_t i = 0; i < count && implied; i++) {
        implied = is_needed(l, l->clash[i]);
    }
    l->need_steps[key] = index;
    return implied;
}

/* Writes the rule, the fact of the newest level first and one of the next level second; returns how
 * many facts it has. Leaves no fact needed. */
static uint32_t write_rule(learn *l, uint32_t newest)
{
    uint32_t count = 1;
    uint32_t second_level = 0;
    l->rule[0] = learn_opposite((learn_fact){newest, l->needs[newest]});
    for (uint32_t i = 0; i < l->need_count; i++) {
        uint32_t key = l->need_keys[i];
        if (key == newest || l->need_steps[key] == MW_NONE) {
            continue;
        }
        if (is_implied(l, key)) {
            drop_need(l, key);
            continue;
        }
        l->rule[count++] = learn_opposite((learn_fact){key, l->needs[key]});
    }
    for (uint32_t i = 1; i < count; i++) {
        uint32_t level = step_at(l, l->need_steps[l->rule[i].key ^ 1u])->level;
        if (level > second_level) {
            second_level = level;
            learn_fact first = l->rule[1];
            l->rule[1] = l->rule[i];
            l->rule[i] = first;
        }
    }
    return count;
}

static uint32_t count_levels(learn *l, uint32_t count)
{
    uint32_t levels = 0;
    l->mark++;
    for (uint32_t i = 0; i < count; i++) {
        uint32_t level = step_at(l, l->need_steps[l->rule[i].key ^ 1u])->level;
        if (l->level_marks[level] != l->mark) {
            l->level_marks[level] = l->mark;
            levels++;
        }
    }
    return levels;
}

bool learn_from_clash(learn *l)
{
    l->conflicts++;
    uint32_t level = clash_level(l);
    if (level == 0) {
        return false;
    }
    uint32_t newest = trace_back(l, level);
    uint32_t count = write_rule(l, newest);
    uint32_t levels = count_levels(l, count);
    uint32_t back = count == 1 ? 0 : step_at(l, l->need_steps[l->rule[1].key ^ 1u])->level;
    for (uint32_t i = 0; i < l->need_count; i++) {
        drop_need(l, l->need_keys[i]);
    }
    learn_retreat(l, back);
    learn_cool(l);
    learn_why why = {LEARN_RULE, 0, 0};
    if (count == 1) {
        why.cause = LEARN_DECISION; /* at the root: nobody asks why */
    } else {
        why.at = learn_add_rule(l, l->rule, count, levels);
    }
    return l->no_memory || learn_raise(l, l->rule[0], why);
}
