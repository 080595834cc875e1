/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the tests of measuring share: units by their text, tables of others by the line, random
 * numbers with a printed seed. */
#ifndef TESTS_MEASURE_SUPPORT_H
#define TESTS_MEASURE_SUPPORT_H

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "mouldwright/unit.h"
#include "support.h"

/* --- units ----------------------------------------------------------------------------------- */

/* Returns the unit that a whole text is; fails the test where it is none. */
static inline mw_unit unit_of(mw_measure *measure, const char *text)
{
    size_t used = 0;
    mw_unit unit = MW_UNIT_ONE;
    if (text[0] == '\0') {
        return MW_UNIT_ONE;
    }
    mw_status status = mw_unit_read(measure, mw_str_of(text), &used, &unit);
    if (status != MW_OK || used != strlen(text)) {
        fail_msg("`%s` is no unit (status %d, %zu bytes read)", text, (int)status, used);
    }
    return unit;
}

/* Returns the type of a unit's text, or of one of the words that no unit has. */
static inline mw_type type_of(mw_measure *measure, const char *text)
{
    static const struct {
        const char *word;
        mw_type type;
    } words[] = {{"truth", MW_TYPE_TRUTH},
                 {"text", MW_TYPE_TEXT},
                 {"clock", MW_TYPE_TIME},
                 {"date", MW_TYPE_DATE},
                 {"number", MW_TYPE_NUMBER}};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++) {
        if (strcmp(words[i].word, text) == 0) {
            return words[i].type;
        }
    }
    /* "hard X": the type of X with hours that are clock hours. */
    if (strncmp(text, "hard ", 5) == 0) {
        mw_type_parts parts =
            *mw_type_look(measure, mw_unit_type(measure, unit_of(measure, text + 5)));
        parts.soft = 0;
        return mw_type_of(measure, &parts);
    }
    return mw_unit_type(measure, unit_of(measure, text));
}

/* Fails unless the text is as wanted; frees it. */
static inline void assert_text(mw_text *got, const char *want)
{
    assert_false(got->failed);
    assert_string_equal(mw_text_chars(got), want);
    mw_text_free(got);
}

/* --- tables of others ------------------------------------------------------------------------ */

/* Opens a file of the published tables that are kept outside the project, in the folder named by
 * MOULDWRIGHT_CHECKS; NULL where it is not there. */
static inline FILE *checks_open(const char *name)
{
    const char *folder = getenv("MOULDWRIGHT_CHECKS");
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", folder != NULL ? folder : "../shared/checks", name);
    return fopen(path, "r");
}

/* Splits a line of CSV in place; doubled quotes inside quotes stand for one. Returns the fields. */
static inline size_t csv_split(char *line, char **fields, size_t most)
{
    size_t count = 0;
    char *from = line;
    char *to = line;
    bool more = true;
    while (more && count < most) {
        bool quoted = *from == '"';
        from += quoted;
        fields[count++] = to;
        while (*from != '\0' && (quoted || (*from != ',' && *from != '\n' && *from != '\r'))) {
            if (quoted && *from == '"' && *++from != '"') {
                quoted = false;
                continue;
            }
            *to++ = *from++;
        }
        more = *from == ',';
        from += more;
        *to++ = '\0';
    }
    return count;
}

/* A test that only says that its data are not there. */
static inline void data_absent(void **state)
{
    (void)state;
    print_message("SKIPPED: data files of others are not there, name their folder in "
                  "MOULDWRIGHT_CHECKS\n");
    skip();
}

/* --- random numbers -------------------------------------------------------------------------- */

typedef struct dice {
    uint64_t state;
} dice;

/* Starts from MOULDWRIGHT_SEED or the seed given, and prints it. */
static inline dice dice_start(uint64_t seed)
{
    const char *given = getenv("MOULDWRIGHT_SEED");
    seed = given != NULL ? strtoull(given, NULL, 10) : seed;
    print_message("seed %llu\n", (unsigned long long)seed);
    return (dice){seed};
}

/* Source: Steele, Lea and Flood 2014, Fast splittable pseudorandom number generators. */
static inline uint64_t dice_bits(dice *random)
{
    uint64_t x = random->state += UINT64_C(0x9e3779b97f4a7c15);
    x = (x ^ x >> 30) * UINT64_C(0xbf58476d1ce4e5b9);
    x = (x ^ x >> 27) * UINT64_C(0x94d049bb133111eb);
    return x ^ x >> 31;
}

static inline double dice_unit(dice *random)
{
    return (double)(dice_bits(random) >> 11) * 0x1p-53;
}

static inline int dice_below(dice *random, int limit)
{
    return (int)(dice_bits(random) % (uint64_t)limit);
}

#endif
