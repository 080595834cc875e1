/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The search for the cheapest cover. */
#include "bound.h"

#include <math.h>
#include <string.h>

#include "mouldwright/money.h"

#define WORK_USUAL 2000000
#define MET        1e-9 /* share of a need that may be wanting */
#define LARGEST    9e15 /* minor units that a double holds exactly */

typedef struct search {
    const mw_buy_problem *problem;
    uint32_t order[MW_BUY_PACKS_MAX];         /* sizes, cheapest by content first */
    uint32_t most[MW_BUY_PACKS_MAX];          /* more packs of a size than so never help */
    bound_pack least[MW_BUY_PACKS_MAX];       /* by place in the order, at its lowest price */
    part_prices prices[MW_BUY_PACKS_MAX + 1]; /* for the sizes from a place on */
    double slack[MW_BUY_PARTS_MAX];           /* what may be wanting of each part */
    double step;                              /* all costs are multiples of this; 0: not known */
    double rounding; /* by how much lines may be rounded down below their price, all together */
    uint32_t counts[MW_BUY_PACKS_MAX];
    mw_buy_answer *best;
    bool found;
    uint64_t work_most;
} search;

static double price_at(const mw_buy_pack *pack, uint32_t count)
{
    double price = pack->price;
    for (uint32_t i = 0; i < pack->break_count; i++) {
        price = count >= pack->breaks[i].from ? pack->breaks[i].price : price;
    }
    return price;
}

static double lowest_price(const mw_buy_pack *pack)
{
    double price = pack->price;
    for (uint32_t i = 0; i < pack->break_count; i++) {
        price = fmin(price, pack->breaks[i].price);
    }
    return price;
}

int64_t mw_buy_line(const mw_buy_pack *pack, uint32_t count)
{
    int64_t minor = 0;
    return mw_money_minor(price_at(pack, count) * count, 0, &minor) ? minor : INT64_MAX / 4;
}

/* ---- making ready ---- */

static bool pack_fits(const mw_buy_pack *pack, uint32_t parts)
{
    double holds = 0.0;
    bool fits = isfinite(pack->price) && pack->price >= 0.0 && pack->price < LARGEST &&
                pack->break_count <= MW_BUY_BREAKS_MAX && pack->at_least <= MW_BUY_COUNT_MAX;
    for (uint32_t c = 0; fits && c < parts; c++) {
        fits = isfinite(pack->holds[c]) && pack->holds[c] >= 0.0;
        holds += pack->holds[c];
    }
    uint32_t from = 1;
    for (uint32_t i = 0; fits && i < pack->break_count; i++) {
        const mw_buy_break *of = &pack->breaks[i];
        fits = of->from > from && of->from <= MW_BUY_COUNT_MAX && of->price >= 0.0 &&
               of->price < LARGEST;
        from = of->from;
    }
    return fits && holds > 0.0;
}

static bool problem_fits(const mw_buy_problem *of)
{
    bool fits = of->part_count >= 1 && of->part_count <= MW_BUY_PARTS_MAX && of->pack_count >= 1 &&
                of->pack_count <= MW_BUY_PACKS_MAX;
    for (uint32_t c = 0; fits && c < of->part_count; c++) {
        fits = isfinite(of->need[c]) && of->need[c] >= 0.0;
    }
    for (uint32_t i = 0; fits && i < of->pack_count; i++) {
        fits = pack_fits(&of->packs[i], of->part_count);
    }
    return fits;
}

/* Beyond the number that covers the whole need alone, at a number from which no price falls any more, further packs of the
 * size only cost. */
static bool most_of(const mw_buy_problem *of, const double *slack, uint32_t i, uint32_t *most)
{
    const mw_buy_pack *pack = &of->packs[i];
    double count = pack->at_least;
    for (uint32_t c = 0; c < of->part_count; c++) {
        const double need = of->need[c] - slack[c];
        if (pack->holds[c] > 0.0 && need > 0.0) {
            count = fmax(count, ceil(need / pack->holds[c]));
        }
    }
    for (uint32_t k = 0; k < pack->break_count; k++) {
        count = fmax(count, pack->breaks[k].from);
    }
    *most = count <= MW_BUY_COUNT_MAX ? (uint32_t)count : 0;
    return count <= MW_BUY_COUNT_MAX;
}

static double greatest_divisor(double a, double b)
{
    while (b > 0.5) {
        const double rest = fmod(a, b);
        a = b;
        b = rest;
    }
    return a;
}

static void find_step(search *in)
{
    in->step = 0.0;
    for (uint32_t i = 0; i < in->problem->pack_count; i++) {
        const mw_buy_pack *pack = &in->problem->packs[i];
        bool whole = pack->price == floor(pack->price);
        in->step = greatest_divisor(in->step, floor(pack->price));
        for (uint32_t k = 0; k < pack->break_count; k++) {
            whole = whole && pack->breaks[k].price == floor(pack->breaks[k].price);
            in->step = greatest_divisor(in->step, floor(pack->breaks[k].price));
        }
        in->rounding += whole ? 0.0 : 0.5;
    }
    in->step = in->rounding > 0.0 ? 1.0 : in->step;
}

/* What a size costs against what it holds, at the prices that all sizes together give the parts. */
static double dearness(const bound_pack *pack, const double *prices, uint32_t parts)
{
    double worth = 0.0;
    for (uint32_t c = 0; c < parts; c++) {
        worth += pack->holds[c] * prices[c];
    }
    return worth > 0.0 ? pack->price / worth : (double)INFINITY;
}

static void sort_packs(search *in, const double *prices)
{
    const mw_buy_problem *of = in->problem;
    for (uint32_t i = 0; i < of->pack_count; i++) {
        bound_pack made = {{0}, lowest_price(&of->packs[i])};
        memcpy(made.holds, of->packs[i].holds, sizeof made.holds);
        uint32_t at = i;
        while (at > 0 && dearness(&in->least[at - 1], prices, of->part_count) >
                             dearness(&made, prices, of->part_count)) {
            in->least[at] = in->least[at - 1];
            in->order[at] = in->order[at - 1];
            at--;
        }
        in->least[at] = made;
        in->order[at] = i;
    }
}

static bool search_start(search *in)
{
    const mw_buy_problem *of = in->problem;
    const uint32_t parts = of->part_count;
    const double alike[MW_BUY_PARTS_MAX] = {1.0, 1.0, 1.0};
    uint32_t corner = 0;
    for (uint32_t c = 0; c < parts; c++) {
        in->slack[c] = of->need[c] * MET;
    }
    for (uint32_t i = 0; i < of->pack_count; i++) {
        if (!most_of(of, in->slack, i, &in->most[i])) {
            return false;
        }
    }
    sort_packs(in, alike);
    bound_prices(in->least, of->pack_count, parts, &in->prices[0]);
    if (isinf(bound_cost(&in->prices[0], of->need, parts, &corner))) {
        return false;
    }
    double dearest[MW_BUY_PARTS_MAX];
    memcpy(dearest, in->prices[0].of[corner], sizeof dearest);
    sort_packs(in, dearest);
    for (uint32_t at = 0; at <= of->pack_count; at++) {
        bound_prices(in->least + at, of->pack_count - at, parts, &in->prices[at]);
    }
    find_step(in);
    return true;
}

/* ---- the search ---- */

/* What is still missing of each part. */
typedef struct missing {
    double of[MW_BUY_PARTS_MAX];
} missing;

static bool is_met(const search *in, const missing *rest)
{
    for (uint32_t c = 0; c < in->problem->part_count; c++) {
        if (rest->of[c] > in->slack[c]) {
            return false;
        }
    }
    return true;
}

/* The least that the sizes from a place on cost to cover the rest. */
static double rest_bound(const search *in, uint32_t at, const missing *rest)
{
    double need[MW_BUY_PARTS_MAX] = {0};
    for (uint32_t c = 0; c < in->problem->part_count; c++) {
        need[c] = fmax(rest->of[c] - in->slack[c], 0.0);
    }
    return bound_cost(&in->prices[at], need, in->problem->part_count, NULL);
}

/* Whether nothing that costs at least so much can be better than the best. */
static bool no_better(const search *in, double bound)
{
    if (!in->found) {
        return isinf(bound);
    }
    double least = bound - in->rounding;
    least -= 1e-9 * fabs(least);
    if (in->step > 0.0 && isfinite(least)) {
        least = ceil(least / in->step) * in->step;
    }
    return least >= (double)in->best->cost;
}

static missing after_packs(const search *in, uint32_t at, const missing *rest, uint32_t count)
{
    missing left = *rest;
    for (uint32_t c = 0; c < in->problem->part_count; c++) {
        left.of[c] -= in->least[at].holds[c] * count;
    }
    return left;
}

static void keep(search *in, int64_t cost)
{
    if (in->found && cost >= in->best->cost) {
        return;
    }
    in->found = true;
    in->best->cost = cost;
    memcpy(in->best->counts, in->counts, sizeof in->counts);
}

/* The packs of the size at a place that cover the rest alone; UINT32_MAX: it does not hold all that is missing. */
static uint32_t covering(const search *in, uint32_t at, const missing *rest)
{
    double count = 0.0;
    for (uint32_t c = 0; c < in->problem->part_count; c++) {
        const double need = rest->of[c] - in->slack[c];
        if (need > 0.0 && in->least[at].holds[c] <= 0.0) {
            return UINT32_MAX;
        }
        if (need > 0.0) {
            count = fmax(count, ceil(need / in->least[at].holds[c]));
        }
    }
    return count <= MW_BUY_COUNT_MAX ? (uint32_t)count : UINT32_MAX;
}

/* The last size: as many as are missing, or up to a number at which they cost less. */
static void finish(search *in, uint32_t at, const missing *rest, int64_t cost)
{
    const uint32_t i = in->order[at];
    const mw_buy_pack *pack = &in->problem->packs[i];
    uint32_t least = covering(in, at, rest);
    if (least == UINT32_MAX) {
        return;
    }
    least = least > 0 && least < pack->at_least ? pack->at_least : least;
    uint32_t count = least;
    int64_t line = mw_buy_line(pack, least);
    for (uint32_t k = 0; k < pack->break_count && least > 0; k++) {
        const uint32_t from = pack->breaks[k].from;
        const uint32_t more = from > least ? from : least;
        if (mw_buy_line(pack, more) < line) {
            count = more;
            line = mw_buy_line(pack, more);
        }
    }
    in->counts[i] = count;
    keep(in, cost + line);
    in->counts[i] = 0;
}

/* The most packs of the size at a place that can be of use for the rest. */
static uint32_t most_useful(const search *in, uint32_t at, const missing *rest)
{
    const uint32_t i = in->order[at];
    const mw_buy_pack *pack = &in->problem->packs[i];
    uint32_t most = covering(in, at, rest);
    for (uint32_t k = 0; k < pack->break_count; k++) {
        most = pack->breaks[k].from > most ? pack->breaks[k].from : most;
    }
    most = pack->at_least > most ? pack->at_least : most;
    return in->most[i] < most ? in->most[i] : most;
}

static void descend(search *in, uint32_t at, const missing *rest, int64_t cost);

/* Goes on with so many packs of the size at a place. False: fewer of it need not be tried. At its lowest price and with
 * the bound for the rest, the cost is convex in their number: where it no longer falls with more of them and is no
 * better than the best, fewer are no better either. `before`: that cost with one more. */
static bool try_count(search *in, uint32_t at, const missing *rest, int64_t cost, double *before)
{
    const uint32_t i = in->order[at];
    const uint32_t count = in->counts[i];
    const missing left = after_packs(in, at, rest, count);
    const double rest_cost = rest_bound(in, at + 1, &left);
    const double linear = (double)cost + in->least[at].price * count + rest_cost;
    const int64_t line = mw_buy_line(&in->problem->packs[i], count);
    const bool end = no_better(in, linear) && linear >= *before;
    *before = linear;
    if (!no_better(in, (double)cost + (double)line + rest_cost)) {
        descend(in, at + 1, &left, cost + line);
    }
    return !end;
}

static void descend(search *in, uint32_t at, const missing *rest, int64_t cost)
{
    const uint32_t i = in->order[at];
    if (is_met(in, rest)) {
        keep(in, cost);
        return;
    }
    if (at + 1 == in->problem->pack_count) {
        finish(in, at, rest, cost);
        return;
    }
    double before = HUGE_VAL; /* INFINITY is a float */
    bool more = true;
    for (uint32_t count = most_useful(in, at, rest) + 1; more && count-- > 0;) {
        if (count > 0 && count < in->problem->packs[i].at_least) {
            continue;
        }
        if (++in->best->work > in->work_most) {
            break;
        }
        in->counts[i] = count;
        more = try_count(in, at, rest, cost, &before);
    }
    in->counts[i] = 0;
}

mw_status mw_buy_cheapest(const mw_buy_problem *problem, mw_buy_answer *answer)
{
    *answer = (mw_buy_answer){.proven = true};
    if (!problem_fits(problem)) {
        return MW_FAILED;
    }
    search in = {.problem = problem,
                 .best = answer,
                 .work_most = problem->work_most ? problem->work_most : WORK_USUAL};
    if (!search_start(&in)) {
        return MW_FAILED;
    }
    missing rest = {{0}};
    memcpy(rest.of, problem->need, sizeof problem->need);
    descend(&in, 0, &rest, 0);
    answer->proven = answer->work <= in.work_most;
    return in.found ? MW_OK : MW_FAILED;
}
