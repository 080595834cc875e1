/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rules that were learned, and watching them: a rule is looked at only when one of its two watched
 * facts becomes false. Source: Moskewicz, Madigan, Zhao, Zhang and Malik, Chaff, DAC 2001. */
#include "learn.h"

#include <string.h>

#include "mouldwright/memory.h"

static learn_head *head_of(const learn *l, uint32_t rule)
{
    return (learn_head *)((uint32_t *)l->words + rule);
}

static learn_fact *facts_of(learn_head *head)
{
    return (learn_fact *)(head + 1);
}

/* The chain of a fact. Greatest starts are counted from -1. */
static uint32_t *chain_of(const learn *l, learn_fact fact)
{
    int32_t place = fact.key % 2 == 0 ? fact.value : 1 - fact.value;
    return &l->watches[(size_t)fact.key * (size_t)l->room + (size_t)place];
}

static void link_watch(learn *l, uint32_t rule, uint32_t which)
{
    learn_head *head = head_of(l, rule);
    uint32_t *chain = chain_of(l, facts_of(head)[which]);
    head->next[which] = *chain;
    *chain = rule * 2 + which;
}

uint32_t learn_add_rule(learn *l, const learn_fact *facts, uint32_t count, uint32_t levels)
{
    uint32_t size = LEARN_HEAD_WORDS + count * LEARN_FACT_WORDS;
    if (l->word_count > UINT32_MAX / 4 ||
        !mw_memory_grow32(&l->words, &l->word_room, l->word_count + size, sizeof(uint32_t))) {
        l->no_memory = true;
        return MW_NONE;
    }
    uint32_t rule = l->word_count;
    l->word_count += size;
    l->rule_count++;
    learn_head *head = head_of(l, rule);
    *head = (learn_head){.count = count, .levels = levels};
    memcpy(facts_of(head), facts, count * sizeof *facts);
    link_watch(l, rule, 0);
    link_watch(l, rule, 1);
    return rule;
}

/* Finds another fact to watch instead of the one that became false. */
static bool watch_another(learn *l, uint32_t rule, uint32_t which)
{
    learn_head *head = head_of(l, rule);
    learn_fact *facts = facts_of(head);
    for (uint32_t i = 2; i < head->count; i++) {
        if (!learn_excluded(l, facts[i])) {
            learn_fact was = facts[which];
            facts[which] = facts[i];
            facts[i] = was;
            link_watch(l, rule, which);
            return true;
        }
    }
    return false;
}

static bool watch_chain(learn *l, uint32_t *chain)
{
    bool fine = true;
    uint32_t link = *chain;
    uint32_t *end = chain; /* where the links that stay are appended */
    while (link != MW_NONE) {
        uint32_t rule = link / 2;
        uint32_t which = link % 2;
        learn_head *head = head_of(l, rule);
        uint32_t next = head->next[which];
        learn_fact other = facts_of(head)[1 - which];
        if (!fine || learn_holds(l, other) || !watch_another(l, rule, which)) {
            *end = link;
            end = &head->next[which];
            fine = fine && learn_raise(l, other, (learn_why){.cause = LEARN_RULE, .at = rule});
        }
        link = next;
    }
    *end = MW_NONE;
    return fine;
}

bool learn_watch(learn *l, const learn_step *step)
{
    learn_step seen = *step; /* the array of steps may move */
    for (int32_t value = seen.old + 1; value <= seen.value; value++) {
        uint32_t *chain = chain_of(l, (learn_fact){seen.key ^ 1u, 1 - value});
        if (*chain != MW_NONE && !watch_chain(l, chain)) {
            return false;
        }
    }
    return true;
}

enum { LEVELS_MOST = 256, LEVELS_KEPT = 2 };

/* The number of levels from which on rules are thrown away, so that about half go. */
static uint32_t find_threshold(const learn *l)
{
    uint32_t histogram[LEVELS_MOST] = {0};
    for (uint32_t rule = 0; rule < l->word_count;) {
        const learn_head *head = head_of(l, rule);
        histogram[head->levels < LEVELS_MOST ? head->levels : LEVELS_MOST - 1]++;
        rule += LEARN_HEAD_WORDS + head->count * LEARN_FACT_WORDS;
    }
    uint32_t kept = 0;
    uint32_t levels = 0;
    while (levels < LEVELS_MOST &&
           (levels <= LEVELS_KEPT || kept + histogram[levels] <= l->rule_count / 2)) {
        kept += histogram[levels++];
    }
    return levels;
}

/* Whether a rule is of no use any more: it holds for good. */
static bool is_settled(const learn *l, learn_head *head)
{
    for (uint32_t i = 0; i < head->count; i++) {
        if (learn_holds(l, facts_of(head)[i])) {
            return true;
        }
    }
    return false;
}

void learn_forget(learn *l)
{
    uint32_t threshold = find_threshold(l);
    uint32_t to = 0;
    uint32_t from = 0;
    uint32_t spared = 0; /* of those at the threshold the newer half stays */
    memset(l->watches, 0xff, (size_t)l->count * (size_t)l->room * 2 * sizeof *l->watches);
    l->rule_count = 0;
    while (from < l->word_count) {
        learn_head *head = head_of(l, from);
        uint32_t size = LEARN_HEAD_WORDS + head->count * LEARN_FACT_WORDS;
        bool drop = is_settled(l, head) || head->levels > threshold ||
                    (head->levels == threshold && spared++ % 2 == 0);
        if (!drop) {
            memmove((uint32_t *)l->words + to, head, size * sizeof(uint32_t));
            l->rule_count++;
            link_watch(l, to, 0);
            link_watch(l, to, 1);
            to += size;
        }
        from += size;
    }
    l->word_count = to;
}
