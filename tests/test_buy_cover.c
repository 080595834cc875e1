/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The cheapest packs: published cases, each size alone, and thousands of random cases against trying all. The seed
 * is printed; MW_SEED sets another. */
#include "support.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "mouldwright/buy.h"

/* ---- cases with their answers ---- */

typedef struct cover_row {
    const char *name;
    double need[MW_BUY_PARTS_MAX];
    uint32_t parts;
    mw_buy_pack packs[4];
    uint32_t count;
    int64_t cost;
    uint32_t counts[4];
} cover_row;

#define ONE_FIVE_TWENTY                                               \
    {                                                                 \
        {.holds = {1}, .price = 1800}, {.holds = {5}, .price = 8000}, \
        {                                                             \
            .holds = {20}, .price = 29000                             \
        }                                                             \
    }

static const cover_row rows[] = {
    /* packs of 1 at 18, 5 at 80, 20 at 290 for needs of 18, 22, 43, 47: by trying all */
    {"eighteen: one large pack is cheaper", {18}, 1, ONE_FIVE_TWENTY, 3, 29000, {0, 0, 1}},
    {"twenty-two", {22}, 1, ONE_FIVE_TWENTY, 3, 32600, {2, 0, 1}},
    {"forty-three", {43}, 1, ONE_FIVE_TWENTY, 3, 63400, {3, 0, 2}},
    {"forty-seven", {47}, 1, ONE_FIVE_TWENTY, 3, 69600, {2, 1, 2}},
    {"nothing is needed", {0}, 1, ONE_FIVE_TWENTY, 3, 0, {0, 0, 0}},
    {"a need that is met but for rounding",
     {30.000000000000004},
     1,
     {{.holds = {30}, .price = 7}},
     1,
     7,
     {1}},
    {"a need just above a pack", {30.001}, 1, {{.holds = {30}, .price = 7}}, 1, 14, {2}},
    /* definition of a price break: from 10 on each costs 80 in place of 100 */
    {"more for less: eight at 100 cost more than ten at 70",
     {8},
     1,
     {{.holds = {1}, .price = 100, .breaks = {{10, 70}}, .break_count = 1}},
     1,
     700,
     {10}},
    {"a break that is too far",
     {6},
     1,
     {{.holds = {1}, .price = 100, .breaks = {{10, 70}}, .break_count = 1}},
     1,
     600,
     {6}},
    {"at least four or none",
     {3},
     1,
     {{.holds = {1}, .price = 10, .at_least = 4}, {.holds = {1}, .price = 15}},
     2,
     40,
     {4, 0}},
    {"fewer of the dearer",
     {2},
     1,
     {{.holds = {1}, .price = 10, .at_least = 4}, {.holds = {1}, .price = 15}},
     2,
     30,
     {0, 2}},
    /* 20 kg of resin and 6 of hardener: two sets of 10 and 3, or a drum and hardener by itself */
    {"sets are cheaper",
     {20, 6},
     2,
     {{.holds = {10, 3}, .price = 100},
      {.holds = {25, 0}, .price = 180},
      {.holds = {0, 3}, .price = 40}},
     3,
     200,
     {2, 0, 0}},
    {"drum and hardener are cheaper",
     {24, 6},
     2,
     {{.holds = {10, 3}, .price = 100},
      {.holds = {25, 0}, .price = 150},
      {.holds = {0, 3}, .price = 40}},
     3,
     230,
     {0, 1, 2}},
    {"one set beside the drum",
     {33, 7},
     2,
     {{.holds = {10, 3}, .price = 100},
      {.holds = {25, 0}, .price = 150},
      {.holds = {0, 4}, .price = 60}},
     3,
     310,
     {1, 1, 1}},
    {"a price with half a cent, rounded once a line",
     {3},
     1,
     {{.holds = {1}, .price = 12.5}},
     1,
     38,
     {3}},
    {"free of charge", {3}, 1, {{.holds = {1}, .price = 0}}, 1, 0, {3}},
};

static void check_row(void **state)
{
    const cover_row *row = *state;
    mw_buy_problem problem = {
        .part_count = row->parts, .packs = row->packs, .pack_count = row->count};
    memcpy(problem.need, row->need, sizeof problem.need);
    mw_buy_answer answer;
    assert_int_equal(mw_buy_cheapest(&problem, &answer), MW_OK);
    assert_true(answer.proven);
    assert_int_equal(answer.cost, row->cost);
    for (uint32_t i = 0; i < row->count; i++) {
        assert_int_equal(answer.counts[i], row->counts[i]);
    }
}

/* ---- what cannot be covered ---- */

static void refuses(mw_buy_problem problem)
{
    mw_buy_answer answer;
    assert_int_equal(mw_buy_cheapest(&problem, &answer), MW_FAILED);
    assert_int_equal(answer.cost, 0);
}

static void unfit_is_refused(void **state)
{
    (void)state;
    static const mw_buy_pack plain = {.holds = {1, 0}, .price = 5};
    static const mw_buy_pack empty = {.price = 5};
    static const mw_buy_pack falling = {
        .holds = {1}, .price = 5, .breaks = {{5, 4}, {5, 3}}, .break_count = 2};
    refuses((mw_buy_problem){.need = {1, 1}, .part_count = 2, .packs = &plain, .pack_count = 1});
    refuses((mw_buy_problem){.need = {1}, .part_count = 1, .packs = &empty, .pack_count = 1});
    refuses((mw_buy_problem){.need = {1}, .part_count = 1, .packs = &falling, .pack_count = 1});
    refuses((mw_buy_problem){.need = {-1}, .part_count = 1, .packs = &plain, .pack_count = 1});
    refuses(
        (mw_buy_problem){.need = {(double)NAN}, .part_count = 1, .packs = &plain, .pack_count = 1});
    refuses((mw_buy_problem){.need = {1e7}, .part_count = 1, .packs = &plain, .pack_count = 1});
    refuses((mw_buy_problem){.need = {1}, .part_count = 1, .packs = &plain, .pack_count = 0});
    refuses((mw_buy_problem){.need = {1}, .part_count = 4, .packs = &plain, .pack_count = 1});
}

/* Work that runs out is said, and what was found by then covers. */
static void work_runs_out(void **state)
{
    (void)state;
    static const mw_buy_pack packs[] = {{.holds = {7.001}, .price = 703},
                                        {.holds = {5.003}, .price = 503},
                                        {.holds = {3.007}, .price = 302}};
    mw_buy_problem problem = {
        .need = {1000}, .part_count = 1, .packs = packs, .pack_count = 3, .work_most = 3};
    mw_buy_answer answer;
    assert_int_equal(mw_buy_cheapest(&problem, &answer), MW_OK);
    assert_false(answer.proven);
    double bought = 0;
    for (size_t i = 0; i < 3; i++) {
        bought += packs[i].holds[0] * answer.counts[i];
    }
    assert_true(bought >= 1000 - 1e-6);
    problem.work_most = 0;
    assert_int_equal(mw_buy_cheapest(&problem, &answer), MW_OK);
    assert_true(answer.proven);
}

/* ---- random cases ---- */

static uint64_t state_of_random;

static uint32_t below(uint32_t count)
{
    state_of_random = state_of_random * 6364136223846793005ULL + 1442695040888963407ULL;
    return (uint32_t)(state_of_random >> 33) % count;
}

typedef struct random_case {
    mw_buy_pack packs[4];
    mw_buy_problem problem;
} random_case;

static void make_breaks(mw_buy_pack *pack)
{
    uint32_t from = 1;
    double price = pack->price;
    for (pack->break_count = below(3); pack->break_count > 0 && from == 1;) {
        for (uint32_t k = 0; k < pack->break_count; k++) {
            from += 1 + below(5);
            price = floor(price * (0.7 + 0.01 * below(30)));
            pack->breaks[k] = (mw_buy_break){from, price};
        }
    }
    pack->at_least = below(4) == 0 ? 2 + below(3) : 0;
}

static void make_case(random_case *of, uint32_t parts)
{
    *of = (random_case){.problem = {.part_count = parts, .packs = of->packs}};
    of->problem.pack_count = 1 + below(4);
    for (uint32_t i = 0; i < of->problem.pack_count; i++) {
        mw_buy_pack *pack = &of->packs[i];
        for (uint32_t c = 0; c < parts; c++) {
            const bool held = parts == 1 || i == 0 || below(2) == 0;
            pack->holds[c] = held ? (1 + below(400)) * 0.25 : 0.0;
        }
        pack->holds[below(parts)] += 0.5;
        pack->price = 50 + below(20) * 25 + (below(3) == 0 ? below(100) * 0.5 : 0.0);
        make_breaks(pack);
    }
    for (uint32_t c = 0; c < parts; c++) {
        of->problem.need[c] = below(8) == 0 ? 0.0 : below(3000) * 0.1;
    }
}

/* Tries all counts up to those that are of use; the cost of the cheapest, -1 for none. Shares nothing with the search. */
static int64_t try_all(const mw_buy_problem *of, uint32_t i, double *left, int64_t cost)
{
    bool met = true;
    for (uint32_t c = 0; c < of->part_count; c++) {
        met = met && left[c] <= of->need[c] * 1e-9;
    }
    if (met || i == of->pack_count) {
        return met ? cost : -1;
    }
    const mw_buy_pack *pack = &of->packs[i];
    int64_t best = -1;
    uint32_t most = pack->at_least;
    for (uint32_t c = 0; c < of->part_count; c++) {
        const double count = pack->holds[c] > 0 ? ceil(of->need[c] / pack->holds[c]) : 0;
        most = count > most ? (uint32_t)count : most;
    }
    for (uint32_t k = 0; k < pack->break_count; k++) {
        most = pack->breaks[k].from > most ? pack->breaks[k].from : most;
    }
    for (uint32_t count = 0; count <= most; count++) {
        double rest[MW_BUY_PARTS_MAX] = {0};
        double price = pack->price;
        for (uint32_t k = 0; k < pack->break_count; k++) {
            price = count >= pack->breaks[k].from ? pack->breaks[k].price : price;
        }
        for (uint32_t c = 0; c < of->part_count; c++) {
            rest[c] = left[c] - pack->holds[c] * count;
        }
        const int64_t line = (int64_t)floor(price * count + 0.5);
        const int64_t found =
            count > 0 && count < pack->at_least ? -1 : try_all(of, i + 1, rest, cost + line);
        best = found >= 0 && (best < 0 || found < best) ? found : best;
    }
    return best;
}

/* So that trying all ends. */
static bool is_small(const mw_buy_problem *of)
{
    double cases = 1;
    for (uint32_t i = 0; i < of->pack_count; i++) {
        double most = 10;
        for (uint32_t c = 0; c < of->part_count; c++) {
            const double holds = of->packs[i].holds[c];
            most = holds > 0 ? fmax(most, of->need[c] / holds) : most;
        }
        cases *= most;
    }
    return cases < 40000;
}

static void check_cover(const mw_buy_problem *of, const mw_buy_answer *answer)
{
    int64_t cost = 0;
    double bought[MW_BUY_PARTS_MAX] = {0};
    for (uint32_t i = 0; i < of->pack_count; i++) {
        cost += mw_buy_line(&of->packs[i], answer->counts[i]);
        assert_true(answer->counts[i] == 0 || answer->counts[i] >= of->packs[i].at_least);
        for (uint32_t c = 0; c < of->part_count; c++) {
            bought[c] += of->packs[i].holds[c] * answer->counts[i];
        }
    }
    assert_int_equal(cost, answer->cost);
    for (uint32_t c = 0; c < of->part_count; c++) {
        assert_true(bought[c] >= of->need[c] * (1 - 1e-8));
    }
}

static void random_cases_are_cheapest(void **state)
{
    (void)state;
    const char *seed = getenv("MW_SEED");
    state_of_random = seed ? strtoull(seed, NULL, 10) : 20270311;
    print_message("seed %llu\n", (unsigned long long)state_of_random);
    unsigned checked = 0;
    for (unsigned n = 0; n < 3000; n++) {
        random_case of;
        make_case(&of, 1 + n % 3);
        of.problem.packs = of.packs;
        mw_buy_answer answer;
        const mw_status status = mw_buy_cheapest(&of.problem, &answer);
        if (!is_small(&of.problem)) {
            continue;
        }
        double left[MW_BUY_PARTS_MAX];
        memcpy(left, of.problem.need, sizeof left);
        const int64_t best = try_all(&of.problem, 0, left, 0);
        assert_int_equal(status, best < 0 ? MW_FAILED : MW_OK);
        if (best >= 0) {
            assert_true(answer.proven);
            assert_int_equal(answer.cost, best);
            check_cover(&of.problem, &answer);
            checked++;
        }
    }
    print_message("%u cases against trying all\n", checked);
    assert_true(checked > 2000);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "cover", rows, check_row);
    test_add(&tests, unfit_is_refused);
    test_add(&tests, work_runs_out);
    test_add(&tests, random_cases_are_cheapest);
    return test_run(&tests, "buy_cover");
}
