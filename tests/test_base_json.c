/* SPDX-License-Identifier: GPL-3.0-or-later */
/* JSON against RFC 8259. */
#include "support.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "mouldwright/json.h"

typedef struct string_row {
    const char *name;
    mw_str value;
    const char *want;
} string_row;

#define PIECE(text)              \
    {                            \
        (text), sizeof(text) - 1 \
    }

static const string_row string_rows[] = {
    {"empty", PIECE(""), "\"\""},
    {"plain", PIECE("hull_port"), "\"hull_port\""},
    /* Bray, The JavaScript Object Notation Data Interchange Format, RFC 8259 (2017), section 7 */
    {"quotation mark", PIECE("a \"b\""), "\"a \\\"b\\\"\""},
    {"reverse solidus", PIECE("\\"), "\"\\\\\""},
    {"solidus needs no escape", PIECE("EUR/h"), "\"EUR/h\""},
    {"backspace", PIECE("\b"), "\"\\b\""},
    {"form feed", PIECE("\f"), "\"\\f\""},
    {"line feed", PIECE("\n"), "\"\\n\""},
    {"carriage return", PIECE("\r"), "\"\\r\""},
    {"tab", PIECE("\t"), "\"\\t\""},
    {"NUL", PIECE("\0"), "\"\\u0000\""},
    {"escape", PIECE("\x1B[0m"), "\"\\u001b[0m\""},
    {"last control character", PIECE("\x1F"), "\"\\u001f\""},
    {"delete", PIECE("\x7F"), "\"\\u007f\""},
    {"section 7: G clef stands as it is", PIECE("\xF0\x9D\x84\x9E"), "\"\xF0\x9D\x84\x9E\""},
    {"umlaut", PIECE("f\xC3\xBCr"), "\"f\xC3\xBCr\""},
    /* section 8.1: UTF-8 only */
    {"stray byte", PIECE("a\xFFz"), "\"a\xEF\xBF\xBDz\""},
    {"cut character", PIECE("\xE2\x82"), "\"\xEF\xBF\xBD\xEF\xBF\xBD\""},
    {"surrogate", PIECE("\xED\xA0\x80"), "\"\xEF\xBF\xBD\xEF\xBF\xBD\xEF\xBF\xBD\""},
    {"escapes at both ends", PIECE("\"x\""), "\"\\\"x\\\"\""},
};

static void writes_string(void **state)
{
    const string_row *row = *state;
    mw_text out = {0};
    mw_json_string(&out, row->value);
    assert_string_equal(mw_text_chars(&out), row->want);
    mw_text_free(&out);
}

typedef struct number_row {
    const char *name;
    double value;
    const char *want;
} number_row;

static const number_row number_rows[] = {
    {"zero", 0.0, "0"},
    {"whole", 28.0, "28"},
    {"negative", -1.5, "-1.5"},
    /* IEEE 754-2019, section 5.12.2: 17 digits always tell two doubles apart; the digits of 0.1 are
     * those of its exact value 0.1000000000000000055511151231257827... */
    {"a tenth", 0.1, "0.10000000000000001"},
    {"largest", 1.7976931348623157e308, "1.7976931348623157e+308"},
    {"least positive", 4.9406564584124654e-324, "4.9406564584124654e-324"},
    {"two to the 53", 9007199254740992.0, "9007199254740992"},
    {"not a number", (double)NAN, "null"},
    {"infinite", (double)INFINITY, "null"},
    {"infinite below", -(double)INFINITY, "null"},
};

static void writes_number(void **state)
{
    const number_row *row = *state;
    mw_text out = {0};
    mw_json_number(&out, row->value);
    assert_string_equal(mw_text_chars(&out), row->want);
    mw_text_free(&out);
}

/* What is written must read back to the same bits, for numbers of all sizes. */
static void numbers_come_back(void **state)
{
    (void)state;
    uint64_t seed = 2385;
    mw_text out = {0};
    for (int i = 0; i < 100000; i++) {
        seed = seed * 6364136223846793005U + 1442695040888963407U; /* Knuth, MMIX */
        uint64_t bits = seed ^ seed >> 29;
        double value;
        memcpy(&value, &bits, sizeof value);
        if (!isfinite(value)) {
            continue;
        }
        mw_text_clear(&out);
        mw_json_number(&out, value);
        double back = strtod(mw_text_chars(&out), NULL);
        assert_memory_equal(&back, &value, sizeof value);
    }
    mw_text_free(&out);
}

static void places_commas(void **state)
{
    (void)state;
    mw_text out = {0};
    mw_json json = {.out = &out};
    mw_json_open(&json, '{');
    mw_json_key(&json, "values");
    mw_json_open(&json, '[');
    mw_json_add_number(&json, 1.5);
    mw_json_add_integer(&json, INT64_MIN);
    mw_json_open(&json, '[');
    mw_json_close(&json, ']');
    mw_json_open(&json, '{');
    mw_json_close(&json, '}');
    mw_json_add_null(&json);
    mw_json_close(&json, ']');
    mw_json_key(&json, "unit");
    mw_json_add_string(&json, mw_str_of("kg"));
    mw_json_key(&json, "a \"key\"");
    mw_json_open(&json, '{');
    mw_json_key(&json, "yes");
    mw_json_add_truth(&json, true);
    mw_json_key(&json, "no");
    mw_json_add_truth(&json, false);
    mw_json_close(&json, '}');
    mw_json_close(&json, '}');
    assert_string_equal(mw_text_chars(&out),
                        "{\"values\": [1.5, -9223372036854775808, [], {}, null], \"unit\": \"kg\", "
                        "\"a \\\"key\\\"\": {\"yes\": true, \"no\": false}}");
    assert_int_equal(json.depth, 0);
    mw_text_free(&out);
}

static void goes_sixty_deep(void **state)
{
    (void)state;
    mw_text out = {0};
    mw_json json = {.out = &out};
    for (int i = 0; i < 60; i++) {
        mw_json_open(&json, '[');
        mw_json_add_integer(&json, i);
    }
    for (int i = 0; i < 60; i++) {
        mw_json_close(&json, ']');
    }
    const char *text = mw_text_chars(&out);
    assert_memory_equal(text, "[0, [1, [2, ", 12);
    assert_non_null(strstr(text, "[58, [59]]"));
    assert_int_equal(strlen(strchr(text, ']')), 60);
    mw_text_free(&out);
}

static void several_values_stand_alone(void **state)
{
    (void)state;
    mw_text out = {0};
    for (int i = 0; i < 2; i++) {
        mw_json json = {.out = &out};
        mw_json_add_integer(&json, i);
        mw_text_addc(&out, '\n');
    }
    assert_string_equal(mw_text_chars(&out), "0\n1\n");
    mw_text_free(&out);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "string", string_rows, writes_string);
    test_add_rows(&tests, "number", number_rows, writes_number);
    test_add(&tests, numbers_come_back);
    test_add(&tests, places_commas);
    test_add(&tests, goes_sixty_deep);
    test_add(&tests, several_values_stand_alone);
    return test_run(&tests, "base json");
}
