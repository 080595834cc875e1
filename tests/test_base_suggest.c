/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The edit distance against published examples and its definition, and what is suggested. */
#include "support.h"

#include <string.h>

#include "mouldwright/suggest.h"

typedef struct distance_row {
    const char *name;
    const char *a;
    const char *b;
    size_t limit;
    size_t want;
} distance_row;

static const distance_row distance_rows[] = {
    {"nothing at all", "", "", 9, 0},
    {"against nothing", "", "abc", 9, 3},
    {"the same", "resin", "resin", 9, 0},
    {"case does not count", "Resin", "rESIN", 9, 0},
    /* Jurafsky, Martin: Speech and Language Processing, 3rd ed. draft, section 2.5: delete i, e for
     * n, x for t, insert c, u for n */
    {"intention, execution", "intention", "execution", 9, 5},
    /* the usual textbook examples (from memory) */
    {"kitten, sitting", "kitten", "sitting", 9, 3},
    {"saturday, sunday", "saturday", "sunday", 9, 3},
    {"gumbo, gambol", "gumbo", "gambol", 9, 2},
    /* restricted edits: 3, where the unrestricted distance of Lowrance and Wagner 1975 is 2 */
    {"ca, abc", "ca", "abc", 9, 3},
    /* Damerau, A technique for computer detection and correction of spelling errors, CACM 7(3),
     * 1964: the four single errors */
    {"wrong letter", "laminate", "laminete", 9, 1},
    {"missing letter", "laminate", "lamnate", 9, 1},
    {"extra letter", "laminate", "lamminate", 9, 1},
    {"two letters swapped", "laminate", "lamiante", 9, 1},
    {"two swaps", "abcd", "badc", 9, 2},
    {"at the limit", "kitten", "sitting", 3, 3},
    {"past the limit", "kitten", "sitting", 2, 3},
    {"lengths too far apart", "a", "abcdef", 3, 4},
    {"limit nothing", "abc", "abd", 0, 1},
};

static void has_distance(void **state)
{
    const distance_row *row = *state;
    mw_str a = mw_str_of(row->a);
    mw_str b = mw_str_of(row->b);
    assert_int_equal(mw_suggest_distance(a, b, row->limit), row->want);
    assert_int_equal(mw_suggest_distance(b, a, row->limit), row->want);
}

static size_t least(size_t a, size_t b)
{
    return a < b ? a : b;
}

/* The definition, by recursion over what happens to the last letters. */
static size_t distance_by_definition(const char *a, size_t a_length, const char *b, size_t b_length)
{
    if (a_length == 0 || b_length == 0) {
        return a_length + b_length;
    }
    size_t best = distance_by_definition(a, a_length - 1, b, b_length - 1) +
                  (a[a_length - 1] != b[b_length - 1]);
    best = least(best, distance_by_definition(a, a_length - 1, b, b_length) + 1);
    best = least(best, distance_by_definition(a, a_length, b, b_length - 1) + 1);
    if (a_length > 1 && b_length > 1 && a[a_length - 1] == b[b_length - 2] &&
        a[a_length - 2] == b[b_length - 1]) {
        best = least(best, distance_by_definition(a, a_length - 2, b, b_length - 2) + 1);
    }
    return best;
}

/* All pairs of words of up to 5 letters out of two, and limits round the distance. */
static void equals_its_definition(void **state)
{
    (void)state;
    char words[64][6];
    size_t count = 0;
    for (unsigned length = 0; length <= 5; length++) {
        for (unsigned bits = 0; bits < 1U << length; bits++) {
            for (unsigned i = 0; i < length; i++) {
                words[count][i] = (bits >> i & 1U) != 0 ? 'b' : 'a';
            }
            words[count++][length] = '\0';
        }
    }
    for (size_t i = 0; i < count; i++) {
        for (size_t j = 0; j < count; j++) {
            mw_str a = mw_str_of(words[i]);
            mw_str b = mw_str_of(words[j]);
            size_t want = distance_by_definition(a.at, a.length, b.at, b.length);
            for (size_t limit = 0; limit < 7; limit++) {
                assert_int_equal(mw_suggest_distance(a, b, limit), least(want, limit + 1));
            }
        }
    }
}

static void long_texts_are_never_near(void **state)
{
    (void)state;
    char text[66];
    memset(text, 'x', sizeof text);
    assert_int_equal(mw_suggest_distance((mw_str){text, 64}, (mw_str){text, 64}, 5), 0);
    assert_int_equal(mw_suggest_distance((mw_str){text, 65}, (mw_str){text, 65}, 5), 6);
    assert_int_equal(mw_suggest_distance((mw_str){text, 64}, (mw_str){text, 65}, 5), 6);
    assert_int_equal(mw_suggest_distance((mw_str){text, 64}, (mw_str){text, 60}, 5), 4);
}

typedef struct offer_row {
    const char *name;
    const char *wanted;
    const char *known[6]; /* ends with NULL */
    const char *best;     /* "" none */
} offer_row;

static const offer_row offer_rows[] = {
    {"nothing known", "resin", {NULL}, ""},
    {"one swap", "reisn", {"cloth", "resin", "putty"}, "resin"},
    {"nothing near", "resin", {"cloth", "board", "putty"}, ""},
    {"the nearest wins", "hull_prot", {"hull_part", "hull_port", "hull"}, "hull_port"},
    {"the nearest first", "hull_prot", {"hull_port", "hull_part"}, "hull_port"},
    {"ties keep the first", "matt", {"math", "mast", "mats"}, "math"},
    {"exact but for case", "Heavy", {"heavi", "heavy"}, "heavy"},
    {"a third of six", "plyies", {"plies"}, "plies"},
    {"two of six", "abcdef", {"abcdxy"}, "abcdxy"},
    {"two of five is too far", "abcde", {"abcxy"}, ""},
    {"one of three", "mas", {"max"}, "max"},
    {"one of two is too far", "kg", {"kN"}, ""},
    {"swapped pair is too far", "gk", {"kg"}, ""},
    {"one letter never", "m", {"mm", "g", "m"}, ""},
    {"one-letter names are never offered", "ab", {"a", "b"}, ""},
    {"empty names are never offered", "ab", {"", "ab"}, "ab"},
};

static void offers(void **state)
{
    const offer_row *row = *state;
    mw_suggest suggest;
    mw_suggest_start(&suggest, mw_str_of(row->wanted));
    for (size_t i = 0; row->known[i] != NULL; i++) {
        mw_suggest_offer(&suggest, mw_str_of(row->known[i]));
    }
    assert_int_equal(suggest.best.length, strlen(row->best));
    assert_true(mw_str_is(suggest.best, row->best));
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "distance", distance_rows, has_distance);
    test_add(&tests, equals_its_definition);
    test_add(&tests, long_texts_are_never_near);
    test_add_rows(&tests, "offer", offer_rows, offers);
    return test_run(&tests, "base suggest");
}
