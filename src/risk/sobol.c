/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The sampler: a net of points in base 2. A point is linear in the bits of its number, so the tile at
 * hand needs one base and a small table of what its places add. */
#include <assert.h>

#include "draw_kernels.h"
#include "mouldwright/memory.h"
#include "mouldwright/risk_sample.h"

enum { BITS = 32, DEGREE_MOST = 10 };

typedef struct sobol_row {
    uint32_t degree, inner;
    uint32_t first[DEGREE_MOST];
} sobol_row;

#define SOBOL(degree, inner, ...) {degree, inner, {__VA_ARGS__}},
static const sobol_row rows[] = {
#include "sobol_table.def"
};
#undef SOBOL
_Static_assert(sizeof rows / sizeof rows[0] + 1 == MW_RISK_TABLED, "the first input has no row");

/* One input. */
typedef struct axis {
    uint32_t directions[BITS]; /* what each bit of a point's number adds */
    uint32_t shift;
    uint32_t order; /* seed of the order of points; 0: as they come */
    uint32_t table[MW_RISK_TILE];
} axis;

struct mw_risk_sampler {
    uint32_t inputs;
    double offset;
    const risk_kernels *kernels;
    axis *axes;
};

/* Direction numbers of an input of the table. Source: Joe and Kuo 2008, equation (2). */
static void published(uint32_t input, uint32_t directions[BITS])
{
    if (input == 0) {
        for (uint32_t k = 0; k < BITS; k++) {
            directions[k] = 1u << (BITS - 1 - k);
        }
        return;
    }
    const sobol_row *row = &rows[input - 1];
    for (uint32_t k = 0; k < BITS; k++) {
        if (k < row->degree) {
            directions[k] = row->first[k] << (BITS - 1 - k);
            continue;
        }
        uint32_t next = directions[k - row->degree] ^ (directions[k - row->degree] >> row->degree);
        for (uint32_t j = 1; j < row->degree; j++) {
            if ((row->inner >> (row->degree - 1 - j) & 1) != 0) {
                next ^= directions[k - j];
            }
        }
        directions[k] = next;
    }
}

/* Numbers that are used up one after the other. */
typedef struct supply {
    uint64_t seed, counter;
} supply;

static uint32_t take(supply *from)
{
    return (uint32_t)(mw_risk_random(from->seed, from->counter++) >> 32);
}

/* Multiplies each direction by a random lower triangular matrix: a bit takes in those above it. */
static void scramble(supply *from, uint32_t directions[BITS])
{
    uint32_t columns[BITS];
    for (uint32_t c = 0; c < BITS; c++) {
        const uint32_t own = 1u << (BITS - 1 - c);
        columns[c] = own | (take(from) & (own - 1));
    }
    for (uint32_t k = 0; k < BITS; k++) {
        uint32_t mixed = 0;
        for (uint32_t c = 0; c < BITS; c++) {
            mixed ^= (directions[k] >> (BITS - 1 - c) & 1) != 0 ? columns[c] : 0;
        }
        directions[k] = mixed;
    }
}

static uint32_t gray(uint32_t number)
{
    return number ^ (number >> 1);
}

static uint32_t point(const axis *of, uint32_t number)
{
    uint32_t bits = gray(number);
    uint32_t sum = 0;
    for (uint32_t k = 0; bits != 0; k++, bits >>= 1) {
        sum ^= (bits & 1) != 0 ? of->directions[k] : 0;
    }
    return sum;
}

static void make_table(axis *of)
{
    for (uint32_t i = 0; i < MW_RISK_TILE; i++) {
        of->table[i] = point(of, i);
    }
}

static mw_risk_sampler *get_sampler(uint32_t inputs, double offset)
{
    mw_risk_sampler *sampler = mw_memory_get(sizeof *sampler);
    axis *axes = mw_memory_get((size_t)inputs * sizeof *axes);
    if (sampler == NULL || axes == NULL) {
        mw_memory_give(sampler);
        mw_memory_give(axes);
        return NULL;
    }
    *sampler = (mw_risk_sampler){inputs, offset, risk_kernels_here(), axes};
    return sampler;
}

mw_risk_sampler *mw_risk_sampler_new(uint32_t inputs, uint64_t seed)
{
    /* the middle of what 32 bits leave open */
    mw_risk_sampler *sampler = get_sampler(inputs, 0.5 + 0x1p-33);
    for (uint32_t i = 0; sampler != NULL && i < inputs; i++) {
        axis *of = &sampler->axes[i];
        const uint32_t round = i / MW_RISK_TABLED;
        supply from = {mw_risk_random(seed, i), 0};
        published(i % MW_RISK_TABLED, of->directions);
        scramble(&from, of->directions);
        of->shift = take(&from);
        of->order = round > 0 ? (uint32_t)mw_risk_random(seed, UINT64_MAX - round) | 1 : 0;
        make_table(of);
    }
    return sampler;
}

mw_risk_sampler *mw_risk_sampler_plain(uint32_t inputs)
{
    assert(inputs <= MW_RISK_TABLED);
    mw_risk_sampler *sampler = get_sampler(inputs, 0.5);
    for (uint32_t i = 0; sampler != NULL && i < inputs; i++) {
        published(i, sampler->axes[i].directions);
        make_table(&sampler->axes[i]);
    }
    return sampler;
}

void mw_risk_sampler_free(mw_risk_sampler *sampler)
{
    if (sampler != NULL) {
        mw_memory_give(sampler->axes);
        mw_memory_give(sampler);
    }
}

static uint32_t reversed(uint32_t x)
{
    x = (x >> 1 & 0x55555555u) | (x & 0x55555555u) << 1;
    x = (x >> 2 & 0x33333333u) | (x & 0x33333333u) << 2;
    x = (x >> 4 & 0x0f0f0f0fu) | (x & 0x0f0f0f0fu) << 4;
    x = (x >> 8 & 0x00ff00ffu) | (x & 0x00ff00ffu) << 8;
    return x >> 16 | x << 16;
}

/* Puts points into another order in which every aligned block of 2^k points is still one: each bit of a number is
 * flipped or not as the bits above it say. Source: Laine and Karras, EGSR 2011; Burley, Practical hash-based Owen
 * scrambling, JCGT 9(4), 2020, with the constants of Vegdahl. */
static uint32_t reorder(uint32_t number, uint32_t seed)
{
    uint32_t x = reversed(number);
    x ^= x * 0x3d20adeau;
    x += seed;
    x *= seed >> 16 | 1;
    x ^= x * 0x05526c56u;
    x ^= x * 0x53a22864u;
    return reversed(x);
}

static void reordered(const axis *of, uint32_t first, uint32_t table[MW_RISK_TILE])
{
    for (uint32_t i = 0; i < MW_RISK_TILE; i++) {
        table[i] = of->table[reorder(first + i, of->order) % MW_RISK_TILE];
    }
}

void mw_risk_shares(const mw_risk_sampler *sampler, uint32_t input, uint64_t tile, double *shares)
{
    assert(input < sampler->inputs);
    const axis *of = &sampler->axes[input];
    const uint32_t first = (uint32_t)tile * MW_RISK_TILE;
    if (of->order == 0) {
        sampler->kernels->points(point(of, first) ^ of->shift, of->table, sampler->offset, shares,
                                 MW_RISK_TILE);
        return;
    }
    uint32_t table[MW_RISK_TILE];
    reordered(of, first, table);
    const uint32_t block = reorder(first, of->order) / MW_RISK_TILE * MW_RISK_TILE;
    sampler->kernels->points(point(of, block) ^ of->shift, table, sampler->offset, shares,
                             MW_RISK_TILE);
}
