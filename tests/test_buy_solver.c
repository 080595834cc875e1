/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The cheapest packs against an integer solver from outside, GLPK's glpsol, where it is installed: random cases with many
 * sizes, falling prices, least numbers and two parts. MW_SEED sets the seed, MW_CASES how many (40). */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "mouldwright/buy.h"

static uint64_t state_of_random;

static uint32_t below(uint32_t count)
{
    state_of_random = state_of_random * 6364136223846793005ULL + 1442695040888963407ULL;
    return (uint32_t)(state_of_random >> 33) % count;
}

static void make_packs(mw_buy_problem *of, mw_buy_pack *packs)
{
    for (uint32_t i = 0; i < of->pack_count; i++) {
        mw_buy_pack *pack = &packs[i];
        *pack = (mw_buy_pack){.price = 0};
        double worth = 0;
        for (uint32_t c = 0; c < of->part_count; c++) {
            const bool held = of->part_count == 1 || i == 0 || below(2) == 0;
            pack->holds[c] = held ? 1 + below(200) : 0;
            worth += pack->holds[c];
        }
        if (worth == 0) {
            worth = pack->holds[0] = 7;
        }
        pack->price = floor(worth * (80 + below(60)));
        uint32_t from = 1;
        double price = pack->price;
        for (pack->break_count = 0; pack->break_count < below(4); pack->break_count++) {
            from += 1 + below(9);
            price = floor(price * (0.80 + 0.01 * below(20)));
            pack->breaks[pack->break_count] = (mw_buy_break){from, price};
        }
        pack->at_least = below(4) == 0 ? 2 + below(4) : 0;
    }
    for (uint32_t c = 0; c < of->part_count; c++) {
        of->need[c] = 1 + below(4000);
    }
}

static double price_from(const mw_buy_pack *pack, uint32_t tier)
{
    return tier == 0 ? pack->price : pack->breaks[tier - 1].price;
}

static uint32_t tier_from(const mw_buy_pack *pack, uint32_t tier)
{
    const uint32_t least = pack->at_least > 1 ? pack->at_least : 1;
    const uint32_t from = tier == 0 ? 1 : pack->breaks[tier - 1].from;
    return from > least ? from : least;
}

/* The last number of packs at the price of a tier. */
static uint32_t tier_until(const mw_buy_pack *pack, uint32_t tier)
{
    return tier < pack->break_count ? pack->breaks[tier].from - 1 : 5000;
}

static void write_limits(FILE *file, const mw_buy_problem *of)
{
    for (uint32_t c = 0; c < of->part_count; c++) {
        for (uint32_t i = 0; i < of->pack_count; i++) {
            for (uint32_t t = 0; t <= of->packs[i].break_count; t++) {
                fprintf(file, " + %.0f x%u_%u", of->packs[i].holds[c], i, t);
            }
        }
        fprintf(file, " >= %.0f\n", of->need[c]);
    }
    for (uint32_t i = 0; i < of->pack_count; i++) {
        const mw_buy_pack *pack = &of->packs[i];
        for (uint32_t t = 0; t <= pack->break_count; t++) {
            const bool none = tier_from(pack, t) > tier_until(pack, t);
            fprintf(file, " x%u_%u - %u z%u_%u >= 0\n", i, t, tier_from(pack, t), i, t);
            fprintf(file, " x%u_%u - %u z%u_%u <= 0\n", i, t, none ? 0 : tier_until(pack, t), i, t);
        }
        for (uint32_t t = 0; t <= pack->break_count; t++) {
            fprintf(file, " + z%u_%u", i, t);
        }
        fprintf(file, " <= 1\n");
    }
}

static void write_names(FILE *file, const mw_buy_problem *of, const char *head, char name)
{
    fprintf(file, "%s\n", head);
    for (uint32_t i = 0; i < of->pack_count; i++) {
        for (uint32_t t = 0; t <= of->packs[i].break_count; t++) {
            fprintf(file, " %c%u_%u\n", name, i, t);
        }
    }
}

/* The model as CPLEX LP text: of each size and price a number x and whether it is that price, z. */
static void write_model(const char *path, const mw_buy_problem *of)
{
    FILE *file = fopen(path, "w");
    assert_non_null(file);
    fprintf(file, "Minimize\n cost:");
    for (uint32_t i = 0; i < of->pack_count; i++) {
        for (uint32_t t = 0; t <= of->packs[i].break_count; t++) {
            fprintf(file, " + %.0f x%u_%u", price_from(&of->packs[i], t), i, t);
        }
    }
    fprintf(file, "\nSubject To\n");
    write_limits(file, of);
    write_names(file, of, "Generals", 'x');
    write_names(file, of, "Binaries", 'z');
    fprintf(file, "End\n");
    fclose(file);
}

/* The cost that the solver finds; -1: it did not end in time. */
static int64_t solve_outside(const char *folder, const mw_buy_problem *of)
{
    char model[300];
    char answer[300];
    char command[900];
    snprintf(model, sizeof model, "%s/packs.lp", folder);
    snprintf(answer, sizeof answer, "%s/packs.txt", folder);
    snprintf(command, sizeof command, "glpsol --tmlim 5 --lp %s -o %s >/dev/null 2>&1", model,
             answer);
    write_model(model, of);
    assert_int_equal(system(command), 0);
    FILE *file = fopen(answer, "r");
    assert_non_null(file);
    char line[200];
    double cost = -1;
    bool optimal = false;
    while (fgets(line, sizeof line, file)) {
        optimal = optimal || strstr(line, "INTEGER OPTIMAL");
        sscanf(line, "Objective: cost = %lf", &cost);
    }
    fclose(file);
    unlink(model);
    unlink(answer);
    return optimal ? (int64_t)llround(cost) : -1;
}

static void agrees_with_the_solver(void **state)
{
    (void)state;
    if (system("glpsol --version >/dev/null 2>&1") != 0) {
        print_message("glpsol is not installed (Debian: glpk-utils)\n");
        skip();
    }
    char folder[] = "/tmp/mw-packs-XXXXXX";
    assert_non_null(mkdtemp(folder));
    const char *seed = getenv("MW_SEED");
    const char *cases = getenv("MW_CASES");
    state_of_random = seed ? strtoull(seed, NULL, 10) : 1966;
    const long count = cases ? strtol(cases, NULL, 10) : 40;
    print_message("seed %llu\n", (unsigned long long)state_of_random);
    unsigned compared = 0;
    unsigned given_up = 0;
    uint64_t most_work = 0;
    for (long n = 0; n < count; n++) {
        mw_buy_pack packs[MW_BUY_PACKS_MAX];
        mw_buy_problem of = {.part_count = 1 + below(3),
                             .packs = packs,
                             .pack_count = 2 + below(4),
                             .work_most = 4000000};
        make_packs(&of, packs);
        mw_buy_answer answer;
        if (mw_buy_cheapest(&of, &answer) != MW_OK) {
            continue;
        }
        const int64_t outside = solve_outside(folder, &of);
        most_work = answer.work > most_work ? answer.work : most_work;
        if (outside >= 0 && answer.proven) {
            assert_int_equal(answer.cost, outside);
            compared++;
        } else if (outside >= 0) {
            assert_true(answer.cost >= outside);
        }
        given_up += !answer.proven;
    }
    rmdir(folder);
    print_message("%u cases agree, %u are not proven, %llu nodes at most\n", compared, given_up,
                  (unsigned long long)most_work);
    assert_true(compared > count / 2);
    assert_true(given_up * 10 < count);
}

int main(void)
{
    test_list tests = {0};
    test_add(&tests, agrees_with_the_solver);
    return test_run(&tests, "buy_solver");
}
