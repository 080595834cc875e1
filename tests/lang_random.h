/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random formulas for property tests, from a seed that failures print. */
#ifndef TESTS_LANG_RANDOM_H
#define TESTS_LANG_RANDOM_H

#include <stdint.h>

#include "mouldwright/text.h"

typedef struct lang_random {
    uint64_t state; /* not 0 */
} lang_random;

/* xorshift64*: Vigna, An experimental exploration of Marsaglia's xorshift generators, scrambled,
 * 2016. */
static inline uint32_t lang_below(lang_random *random, uint32_t limit)
{
    random->state ^= random->state >> 12;
    random->state ^= random->state << 25;
    random->state ^= random->state >> 27;
    return (uint32_t)((random->state * UINT64_C(2685821657736338717) >> 32) * limit >> 32);
}

/* Names that formulas use: n0 to n5 numbers, b0 to b2 truths, list a list of numbers. */
enum { RANDOM_NUMBERS = 6, RANDOM_TRUTHS = 3, RANDOM_LIST = 5 };

static inline void lang_random_truth(lang_random *random, mw_text *out, int depth);

static inline void lang_random_number(lang_random *random, mw_text *out, int depth)
{
    static const char *const signs[] = {"+", "-", "*", "/"};
    static const char *const unary[] = {"sqrt", "ln", "exp", "abs", "sin", "asin", "log10", "atan"};
    static const char *const reduce[] = {"sum", "mean", "smallest", "largest"};
    static const char *const round[] = {"round_up", "round_down", "round_to"};
    const uint32_t kind = depth <= 0 ? lang_below(random, 3) : lang_below(random, 14);
    if (kind < 2) {
        mw_text_addf(out, "n%u", lang_below(random, RANDOM_NUMBERS));
    } else if (kind == 2) {
        mw_text_addf(out, "%u.%u", lang_below(random, 4), lang_below(random, 100));
    } else if (kind < 8) {
        mw_text_adds(out, "(");
        lang_random_number(random, out, depth - 1);
        mw_text_addf(out, " %s ", signs[lang_below(random, 4)]);
        lang_random_number(random, out, depth - 1);
        mw_text_adds(out, ")");
    } else if (kind == 8) {
        mw_text_addf(out, "%s(", unary[lang_below(random, 8)]);
        lang_random_number(random, out, depth - 1);
        mw_text_adds(out, ")");
    } else if (kind == 9) {
        mw_text_addf(out, "%s(list * ", reduce[lang_below(random, 4)]);
        lang_random_number(random, out, depth - 1);
        mw_text_adds(out, ", ");
        lang_random_number(random, out, depth - 1);
        mw_text_adds(out, ")");
    } else if (kind == 10) {
        mw_text_adds(out, "(");
        lang_random_number(random, out, depth - 1);
        mw_text_addf(out, ")^%u", lang_below(random, 4));
    } else if (kind == 11) {
        mw_text_addf(out, "%s(", round[lang_below(random, 3)]);
        lang_random_number(random, out, depth - 1);
        mw_text_adds(out, ", ");
        lang_random_number(random, out, depth - 1);
        mw_text_adds(out, ")");
    } else if (kind == 12) {
        mw_text_adds(out, "(if ");
        lang_random_truth(random, out, depth - 1);
        mw_text_adds(out, " then ");
        lang_random_number(random, out, depth - 1);
        mw_text_adds(out, " else ");
        lang_random_number(random, out, depth - 1);
        mw_text_adds(out, ")");
    } else {
        mw_text_adds(out, "-(");
        lang_random_number(random, out, depth - 1);
        mw_text_adds(out, ")");
    }
}

static inline void lang_random_truth(lang_random *random, mw_text *out, int depth)
{
    static const char *const compare[] = {"<", "<=", "=", "<>", ">=", ">"};
    const uint32_t kind = depth <= 0 ? 0 : lang_below(random, 5);
    if (kind == 0) {
        mw_text_addf(out, "b%u", lang_below(random, RANDOM_TRUTHS));
    } else if (kind < 3) {
        mw_text_adds(out, "(");
        lang_random_number(random, out, depth - 1);
        mw_text_addf(out, " %s ", compare[lang_below(random, 6)]);
        lang_random_number(random, out, depth - 1);
        mw_text_adds(out, ")");
    } else {
        mw_text_addf(out, "(%s", kind == 4 ? "not " : "");
        lang_random_truth(random, out, depth - 1);
        mw_text_adds(out, lang_below(random, 2) == 0 ? " and " : " or ");
        lang_random_truth(random, out, depth - 1);
        mw_text_adds(out, ")");
    }
}

#endif
