/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The profile of a resource against a plain array of time slots: random stretches are taken and
 * given back in any order. */
#include <math.h>

#include "plan/profile.h"
#include "support.h"

enum { SLOTS = 200, HELD_MOST = 40, CAPACITY = 6, ROOM = 2 * HELD_MOST + 1, ROUNDS = 20000 };

typedef struct stretch {
    int from, until; /* until SLOTS: for ever */
    unsigned amount;
} stretch;

typedef struct both {
    double at_s[ROOM];
    uint64_t used[ROOM];
    plan_profile profile;
    unsigned slots[SLOTS];
    stretch held[HELD_MOST];
    int held_count;
} both;

static uint64_t seed = 11;

static int random_below(int below)
{
    uint64_t z = seed += 0x9e3779b97f4a7c15u;
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return (int)((z ^ (z >> 31)) % (unsigned)below);
}

static double moment_of(int slot)
{
    return slot >= SLOTS ? HUGE_VAL : slot;
}

static void start_both(both *b)
{
    *b = (both){0};
    b->profile =
        (plan_profile){.at_s = b->at_s, .used = b->used, .room = ROOM, .capacity = CAPACITY};
    plan_profile_clear(&b->profile);
}

static void take_random(both *b)
{
    stretch s = {.from = random_below(SLOTS), .amount = (unsigned)random_below(3)};
    s.until = s.from + random_below(30);
    s.until = s.until > SLOTS ? SLOTS : s.until;
    for (int i = s.from; i < s.until; i++) {
        b->slots[i] += s.amount;
    }
    b->held[b->held_count++] = s;
    plan_profile_take(&b->profile, moment_of(s.from), moment_of(s.until), s.amount);
}

static void give_random(both *b)
{
    int at = random_below(b->held_count);
    stretch s = b->held[at];
    b->held[at] = b->held[--b->held_count];
    for (int i = s.from; i < s.until; i++) {
        b->slots[i] -= s.amount;
    }
    plan_profile_give(&b->profile, moment_of(s.from), moment_of(s.until), s.amount);
}

/* What the header says, slot by slot. */
static double free_by_slots(const both *b, int from, int until, unsigned amount)
{
    int blocked = -1;
    for (int i = from; i < until && i < SLOTS; i++) {
        blocked = b->slots[i] + amount > CAPACITY ? i : blocked;
    }
    if (blocked < 0) {
        return from;
    }
    while (blocked < SLOTS && b->slots[blocked] + amount > CAPACITY) {
        blocked++;
    }
    return moment_of(blocked);
}

static double free_before_by_slots(const both *b, int from, int until, unsigned amount)
{
    int blocked = from;
    while (blocked < until && (blocked >= SLOTS || b->slots[blocked] + amount <= CAPACITY)) {
        blocked++;
    }
    if (blocked == until) {
        return moment_of(until);
    }
    while (blocked > 0 && b->slots[blocked - 1] + amount > CAPACITY) {
        blocked--;
    }
    return moment_of(blocked);
}

static void look_at_steps(const both *b)
{
    const plan_profile *p = &b->profile;
    assert_true(p->count >= 1 && p->at_s[0] == -HUGE_VAL && p->used[0] == 0);
    for (uint32_t i = 1; i < p->count; i++) {
        assert_true(p->at_s[i - 1] < p->at_s[i] && p->used[i - 1] != p->used[i]);
        assert_int_equal(p->used[i], b->slots[(int)p->at_s[i]]);
    }
}

static void as_slots_say(void **state)
{
    (void)state;
    static both b;
    start_both(&b);
    for (int round = 0; round < ROUNDS; round++) {
        if (b.held_count == 0 || (b.held_count < HELD_MOST && random_below(2) == 0)) {
            take_random(&b);
        } else {
            give_random(&b);
        }
        look_at_steps(&b);
        int from = random_below(SLOTS);
        int until = from + random_below(40);
        unsigned amount = (unsigned)random_below(CAPACITY + 1);
        assert_true(plan_profile_free(&b.profile, moment_of(from), moment_of(until), amount) ==
                    free_by_slots(&b, from, until, amount));
        assert_true(
            plan_profile_free_before(&b.profile, moment_of(from), moment_of(until), amount) ==
            free_before_by_slots(&b, from, until, amount));
    }
}

static void empty_when_all_is_given_back(void **state)
{
    (void)state;
    static both b;
    start_both(&b);
    while (b.held_count < HELD_MOST) {
        take_random(&b);
    }
    while (b.held_count > 0) {
        give_random(&b);
    }
    assert_int_equal(b.profile.count, 1);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, as_slots_say);
    test_add(&list, empty_when_all_is_given_back);
    return test_run(&list, "profile of a resource");
}
