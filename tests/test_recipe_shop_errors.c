/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Shops that say something wrongly: code, line, column and words of the first message, how many there are;
 * and that a shop which is refused changes neither currency, nor rates, nor units. */
#include "recipe_fixture.h"

typedef struct error_row {
    const char *name;
    const char *key;  /* the line of the sound shop that is replaced, by its key */
    const char *text; /* put there instead; empty: left out */
    mw_code code;
    uint32_t line, column; /* line 0 stands for the line of the key, which is 1 line long */
    const char *piece;
    size_t errors; /* in all; 0 stands for 1 */
} error_row;

/* A sound shop, a line a key. */
static const char *const sound[][2] = {
    {"shop", "shop: bad"},
    {"name", "name: Bad"},
    {"currency", "currency: EUR"},
    {"exchange", "exchange: {USD: 0.9}"},
    {"units", "units: {drum: 200 kg}"},
    {"people", "people: [{trade: layer, count: 2, rate: 40 EUR/h}]"},
    {"machines", "machines: [{machine: mill, count: 1, rate: 30 EUR/h}]"},
    {"shifts", "shifts: {day: {mon-fri: [\"08:00-12:00\", \"12:30-16:30\"]}}"},
    {"holidays", "holidays: [2027-01-01]"},
    {"part_days", "part_days: [{day: 2026-12-24, hours: [\"08:00-12:00\"]}]"},
    {"temperature",
     "temperature: [{months: all, day: 20 degC, night: 16 degC, from: \"07:00\", until: \"18:00\"}]"},
    {"promised", "promised: [{what: x, holds: mill, from: 2027-01-18, until: 2027-01-21}]"},
    {"lines", "lines: {tax: 21 %}"},
};
enum { SOUND_LINES = sizeof sound / sizeof sound[0] };

#define SEASON(months, day, night, from, until)                                      \
    "temperature: [{months: " months ", day: " day ", night: " night ", from: " from \
    ", until: " until "}]"

static const error_row rows[] = {
    /* limits of what the program reads */
    {"margin of all", "lines", "lines: {margin: 100 %}", MW_CODE_OUT_OF_RANGE, 0, 17,
     "`margin` is 100 %; allowed is from 0 % to less than 100 %", 0},
    {"margin of more", "lines", "lines: {margin: {is: 120 %}}", MW_CODE_OUT_OF_RANGE, 0, 22,
     "`margin` is 120 %", 0},
    {"productive share of more", "lines", "lines: {productive_share: 150 %}", MW_CODE_OUT_OF_RANGE,
     0, 27, "more than 0 %, up to 100 %", 0},
    {"productive share of nothing", "lines", "lines: {productive_share: 0 %}", MW_CODE_OUT_OF_RANGE,
     0, 27, "`productive_share` is 0 %", 0},
    {"overhead below 0", "lines", "lines: {overhead: -50 %}", MW_CODE_OUT_OF_RANGE, 0, 19,
     "`overhead` is -50 %; allowed is 0 % or more", 0},
    {"doubling of nothing", "lines", "lines: {cure_doubling: 0 K}", MW_CODE_OUT_OF_RANGE, 0, 24,
     "allowed is more than 0 K", 0},
    {"a slip in a name", "lines", "lines: {productive_shre: {unit: \"1\", is: 80 %}}",
     MW_CODE_UNKNOWN_KEY, 0, 9, "did you mean productive_share?", 0},

    {"no name", "shop", "", MW_CODE_MISSING_KEY, 1, 1, "a shop needs the key `shop`", 0},
    {"another name than the file's", "shop", "shop: good", MW_CODE_YAML_FORM, 0, 7,
     "the file is called `bad`, but this says `good`", 0},
    {"unknown key", "name", "nmae: x", MW_CODE_UNKNOWN_KEY, 0, 1, "did you mean name?", 0},
    {"no currency", "currency", "", MW_CODE_MISSING_KEY, 1, 1, "needs the key `currency`", 0},
    {"no such currency", "currency", "currency: EURO", MW_CODE_UNKNOWN_UNIT, 0, 11,
     "`EURO` is no currency", 0},
    {"currency as a list", "currency", "currency: [EUR]", MW_CODE_YAML_FORM, 0, 1,
     "`currency` must be a text", 0},

    {"rate of no currency", "exchange", "exchange: {UDS: 0.9}", MW_CODE_UNKNOWN_UNIT, 0, 12,
     "`UDS` is no currency", 0},
    {"rate of the own currency", "exchange", "exchange: {EUR: 1}", MW_CODE_UNKNOWN_UNIT, 0, 12,
     "the shop's own currency", 0},
    {"rate of 0", "exchange", "exchange: {USD: 0}", MW_CODE_OUT_OF_RANGE, 0, 17,
     "a rate of exchange is more than 0", 0},
    {"rate below 0", "exchange", "exchange: {USD: -2}", MW_CODE_OUT_OF_RANGE, 0, 17, "more than 0",
     0},
    {"rate with a unit", "exchange", "exchange: {USD: 0.9 EUR}", MW_CODE_WRONG_KIND, 0, 17,
     "a plain number is expected here, found", 0},
    {"rate broken", "exchange", "exchange: {USD: 0.9 +}", MW_CODE_SYNTAX, 0, 21, "", 0},
    {"exchange as a list", "exchange", "exchange: [USD]", MW_CODE_YAML_FORM, 0, 1,
     "`exchange` must be a map of keys", 0},

    {"unit that is there", "units", "units: {kg: 3 m}", MW_CODE_UNIT_EXISTS, 0, 9,
     "`kg` is a unit already", 0},
    {"unit called like a currency", "units", "units: {EUR: 3 m}", MW_CODE_UNIT_EXISTS, 0, 9,
     "`EUR` is a unit already", 0},
    {"unit of two words", "units", "units: {big drum: 3 m}", MW_CODE_UNIT_EXISTS, 0, 9,
     "cannot be the name of a unit", 0},
    {"unit of nothing", "units", "units: {drum: 0 kg}", MW_CODE_WRONG_KIND, 0, 15,
     "a unit is an amount above 0", 0},
    {"unit of degrees", "units", "units: {warm: 20 degC}", MW_CODE_WRONG_KIND, 0, 15,
     "a unit is an amount above 0", 0},
    {"unit of a date", "units", "units: {day_one: 2027-01-01}", MW_CODE_WRONG_KIND, 0, 18,
     "a unit is an amount above 0", 0},
    {"unit of a text", "units", "units: {word: '\"x\"'}", MW_CODE_WRONG_KIND, 0, 16,
     "a unit is an amount above 0", 0},
    {"unit of an unknown one", "units", "units: {drum: 3 kgx}", MW_CODE_UNKNOWN_UNIT, 0, 17, "", 0},
    {"unit before it is defined", "units", "units: {pallet: 4 drum, drum: 200 kg}",
     MW_CODE_UNKNOWN_UNIT, 0, 19, "", 0},

    {"people as a map", "people", "people: {layer: 2}", MW_CODE_YAML_FORM, 0, 1,
     "`people` must be a list", 0},
    {"trade without rate", "people", "people: [{trade: layer, count: 2}]", MW_CODE_MISSING_KEY, 0,
     11, "a trade needs the key `rate`", 0},
    {"half a person", "people", "people: [{trade: layer, count: 2.5, rate: 40 EUR/h}]",
     MW_CODE_YAML_FORM, 0, 32, "`count` must be a whole number from 0 to 100000, found `2.5`", 0},
    {"less than nobody", "people", "people: [{trade: layer, count: -1, rate: 40 EUR/h}]",
     MW_CODE_YAML_FORM, 0, 32, "a whole number", 0},
    {"too many people", "people", "people: [{trade: layer, count: 100001, rate: 40 EUR/h}]",
     MW_CODE_YAML_FORM, 0, 32, "a whole number", 0},
    {"far too many people", "people",
     "people: [{trade: layer, count: 99999999999999999999, rate: 40 EUR/h}]", MW_CODE_YAML_FORM, 0,
     32, "a whole number", 0},
    {"rate of another kind", "people", "people: [{trade: layer, count: 2, rate: 40 EUR}]",
     MW_CODE_WRONG_KIND, 0, 41, "is expected here, found", 0},
    {"rate in money without a rate", "people", "people: [{trade: layer, count: 2, rate: 40 GBP/h}]",
     MW_CODE_WRONG_KIND, 0, 41, "GBP", 0},
    {"rate of labour below 0", "people", "people: [{trade: layer, count: 2, rate: -40 EUR/h}]",
     MW_CODE_OUT_OF_RANGE, 0, 41, "a rate is not below 0", 0},
    {"trade twice", "people",
     "people: [{trade: layer, count: 2, rate: 40 EUR/h}, {trade: Layer, count: 1, rate: 1 EUR/h}]",
     MW_CODE_NAME_TWICE, 0, 60, "a trade or machine called `Layer`", 0},
    {"unknown shift", "people", "people: [{trade: layer, count: 2, rate: 40 EUR/h, shift: dya}]",
     MW_CODE_UNKNOWN_NAME, 0, 58, "did you mean day?", 0},

    {"machine called like a trade", "machines", "machines: [{machine: layer}, {machine: mill}]",
     MW_CODE_NAME_TWICE, 0, 22, "a trade or machine called `layer`", 0},
    {"machine of two sizes", "machines", "machines: [{machine: mill, size: [1 m, 2 m]}]",
     MW_CODE_YAML_FORM, 0, 28, "a list of length, width and height", 0},
    {"machine of no size", "machines", "machines: [{machine: mill, size: [1 m, 0 m, 2 m]}]",
     MW_CODE_OUT_OF_RANGE, 0, 40, "a size is more than 0", 0},
    {"machine as wide as heavy", "machines", "machines: [{machine: mill, size: [1 m, 2 kg, 2 m]}]",
     MW_CODE_WRONG_KIND, 0, 40, "a length is expected here, found a mass", 0},
    {"machine of a person's shift", "machines", "machines: [{machine: mill, shift: night}]",
     MW_CODE_UNKNOWN_NAME, 0, 35, "the shop has no shift `night`", 0},
    {"machine rate by labour", "machines", "machines: [{machine: mill, rate: 3 EUR/kg}]",
     MW_CODE_WRONG_KIND, 0, 34, "is expected here, found", 0},
    {"machine without a name", "machines", "machines: [{count: 1}, {machine: mill}]",
     MW_CODE_MISSING_KEY, 0, 13, "a machine or place needs the key `machine`", 0},

    {"no shifts", "shifts", "", MW_CODE_MISSING_KEY, 1, 1, "needs the key `shifts`", 0},
    {"empty shifts", "shifts", "shifts: {}", MW_CODE_MISSING_KEY, 0, 1,
     "a shop needs at least one shift", 0},
    {"a shift of no hours", "shifts", "shifts: {day: {}}", MW_CODE_MISSING_KEY, 0, 10,
     "the shift `day` has no working hours", 0},
    {"a shift of empty days", "shifts", "shifts: {day: {mon: []}}", MW_CODE_MISSING_KEY, 0, 10,
     "the shift `day` has no working hours", 0},
    {"a shift called always", "shifts", "shifts: {always: {mon: [\"08:00-12:00\"]}}",
     MW_CODE_NAME_TAKEN, 0, 10, "`always` is the shift that goes on day and night", 0},
    {"no day of the week", "shifts", "shifts: {day: {mon-fry: [\"08:00-12:00\"]}}",
     MW_CODE_UNKNOWN_KEY, 0, 16, "`mon-fry` is no day of the week", 0},
    {"week backwards", "shifts", "shifts: {day: {fri-mon: [\"08:00-12:00\"]}}", MW_CODE_UNKNOWN_KEY,
     0, 16, "`fri-mon` is no day of the week", 0},
    {"a day twice", "shifts", "shifts: {day: {mon-fri: [\"08:00-12:00\"], wed: [\"09:00-10:00\"]}}",
     MW_CODE_YAML_TWICE, 0, 42, "the hours of `wed` stand here for the second time", 0},
    {"hours as a text", "shifts", "shifts: {day: {mon: \"08:00-12:00\"}}", MW_CODE_YAML_FORM, 0, 22,
     "`mon` must be a list", 0},
    {"no minutes", "shifts", "shifts: {day: {mon: [\"8-12\"]}}", MW_CODE_YAML_FORM, 0, 23,
     "a stretch of the day is expected here, found `8-12`", 0},
    {"no end", "shifts", "shifts: {day: {mon: [\"08:00\"]}}", MW_CODE_YAML_FORM, 0, 23,
     "a stretch of the day is expected here", 0},
    {"beyond the hour", "shifts", "shifts: {day: {mon: [\"08:60-12:00\"]}}", MW_CODE_YAML_FORM, 0,
     23, "a stretch of the day", 0},
    {"beyond the day", "shifts", "shifts: {day: {mon: [\"08:00-24:01\"]}}", MW_CODE_YAML_FORM, 0,
     23, "a stretch of the day", 0},
    {"from the end of the day", "shifts", "shifts: {day: {mon: [\"24:00-08:00\"]}}",
     MW_CODE_YAML_FORM, 0, 23, "a stretch of the day", 0},
    {"more behind the end", "shifts", "shifts: {day: {mon: [\"08:00-12:00h\"]}}", MW_CODE_YAML_FORM,
     0, 23, "a stretch of the day", 0},
    {"letters in the hour", "shifts", "shifts: {day: {mon: [\"0x:00-12:00\"]}}", MW_CODE_YAML_FORM,
     0, 23, "a stretch of the day", 0},
    {"stretch as a map", "shifts", "shifts: {day: {mon: [{from: 8}]}}", MW_CODE_YAML_FORM, 0, 23,
     "a stretch of the day is expected here, found a map of keys", 0},
    {"stretches that overlap", "shifts", "shifts: {day: {mon: [\"08:00-12:00\", \"11:30-16:30\"]}}",
     MW_CODE_OUT_OF_RANGE, 0, 38, "begins before the stretch in front of it ends", 0},
    {"stretches out of order", "shifts", "shifts: {day: {mon: [\"12:30-16:30\", \"08:00-12:00\"]}}",
     MW_CODE_OUT_OF_RANGE, 0, 38, "begins before the stretch in front of it ends", 0},
    {"a night round into its own day", "shifts",
     "shifts: {day: {mon: [\"08:00-12:00\", \"20:00-09:00\"]}}", MW_CODE_OUT_OF_RANGE, 0, 38,
     "ends after the first stretch begins again", 0},
    {"a night into the next day", "shifts",
     "shifts: {day: {mon: [\"22:00-06:00\"], tue: [\"05:00-12:00\"]}}", MW_CODE_OUT_OF_RANGE, 0, 16,
     "the night of `mon` ends after `tue` begins", 0},
    {"a night into the next week", "shifts",
     "shifts: {day: {sun: [\"22:00-06:00\"], mon: [\"05:00-12:00\"]}}", MW_CODE_OUT_OF_RANGE, 0, 16,
     "the night of `sun` ends after `mon` begins", 0},
    {"nine stretches", "shifts",
     "shifts: {day: {mon: [\"01:00-02:00\", \"02:00-03:00\", \"03:00-04:00\", \"04:00-05:00\", "
     "\"05:00-06:00\", \"06:00-07:00\", \"07:00-08:00\", \"08:00-09:00\", \"09:00-10:00\"]}}",
     MW_CODE_TOO_LONG, 0, 143, "a day has at most 8 stretches", 0},

    {"no such day", "holidays", "holidays: [2027-02-30]", MW_CODE_BAD_DATE, 0, 12,
     "there is no day 2027-02-30", 0},
    {"no date", "holidays", "holidays: [New Year]", MW_CODE_YAML_FORM, 0, 12,
     "a date is expected here, found `New Year`", 0},
    {"a date and more", "holidays", "holidays: [2027-01-01 to 2027-01-05]", MW_CODE_YAML_FORM, 0,
     12, "a date is expected here", 0},
    {"a holiday with a time", "holidays", "holidays: [2027-01-01T12:00]", MW_CODE_YAML_FORM, 0, 12,
     "a date is expected here", 0},
    {"a holiday as a list", "holidays", "holidays: [[2027-01-01]]", MW_CODE_YAML_FORM, 0, 13,
     "a date is expected here, found a list", 0},
    {"a holiday twice", "holidays", "holidays: [2027-01-01, 2027-01-01]", MW_CODE_YAML_TWICE, 0, 24,
     "this day stands here for the second time", 0},
    {"a part day that is a holiday", "part_days",
     "part_days: [{day: 2027-01-01, hours: [\"08:00-12:00\"]}]", MW_CODE_YAML_TWICE, 0, 19,
     "this day stands here for the second time", 0},
    {"a part day without hours", "part_days", "part_days: [{day: 2026-12-24}]", MW_CODE_MISSING_KEY,
     0, 14, "a part day needs the key `hours`", 0},
    {"a part day of nonsense", "part_days", "part_days: [{day: soon, hours: [late]}]",
     MW_CODE_YAML_FORM, 0, 19, "`day` must be a date, found `soon`", 2},

    {"no temperature", "temperature", "", MW_CODE_MISSING_KEY, 1, 1, "needs the key `temperature`",
     0},
    {"empty temperature", "temperature", "temperature: []", MW_CODE_MISSING_KEY, 0, 1,
     "the first season must be one for the whole year", 0},
    {"no whole year", "temperature",
     SEASON("[jan, feb]", "20 degC", "12 degC", "\"07:00\"", "\"18:00\""), MW_CODE_MISSING_KEY, 0,
     16, "the first season must be one for the whole year", 0},
    {"no month", "temperature", SEASON("[juno]", "20 degC", "12 degC", "\"07:00\"", "\"18:00\""),
     MW_CODE_YAML_FORM, 0, 25, "a month is expected here, found `juno`", 0},
    {"months as a word", "temperature",
     SEASON("winter", "20 degC", "12 degC", "\"07:00\"", "\"18:00\""), MW_CODE_YAML_FORM, 0, 24,
     "`months` must be `all` or a list of months, found `winter`", 0},
    {"no months", "temperature", SEASON("[]", "20 degC", "12 degC", "\"07:00\"", "\"18:00\""),
     MW_CODE_YAML_FORM, 0, 16, "`months` must be `all` or a list of months", 0},
    {"temperature as a difference", "temperature",
     SEASON("all", "20 K", "12 degC", "\"07:00\"", "\"18:00\""), MW_CODE_WRONG_KIND, 0, 34,
     "a temperature is expected here", 0},
    {"colder than cold", "temperature",
     SEASON("all", "20 degC", "-300 degC", "\"07:00\"", "\"18:00\""), MW_CODE_OUT_OF_RANGE, 0, 50,
     "below the lowest temperature there is", 0},
    {"no time of day", "temperature", SEASON("all", "20 degC", "12 degC", "7", "\"18:00\""),
     MW_CODE_YAML_FORM, 0, 65, "`from` must be a time of day, found `7`", 0},
    {"day that ends before it begins", "temperature",
     SEASON("all", "20 degC", "12 degC", "\"18:00\"", "\"07:00\""), MW_CODE_OUT_OF_RANGE, 0, 82,
     "the day must end after it begins", 0},

    {"promise of an unknown machine", "promised",
     "promised: [{what: x, holds: mil, from: 2027-01-18, until: 2027-01-21}]", MW_CODE_NOBODY, 0,
     29, "did you mean mill?", 0},
    {"promise of more than there is", "promised",
     "promised: [{what: x, holds: mill, amount: 2, from: 2027-01-18, until: 2027-01-21}]",
     MW_CODE_OUT_OF_RANGE, 0, 29, "the shop has 1 of `mill`, and this promises 2", 0},
    {"promise of nothing", "promised",
     "promised: [{what: x, holds: mill, amount: 0, from: 2027-01-18, until: 2027-01-21}]",
     MW_CODE_OUT_OF_RANGE, 0, 29, "this promises 0", 0},
    {"promise that ends first", "promised",
     "promised: [{what: x, holds: mill, from: 2027-01-21, until: 2027-01-21}]",
     MW_CODE_OUT_OF_RANGE, 0, 60, "the moment from which it is free again", 0},
    {"promise without an end", "promised", "promised: [{what: x, holds: mill, from: 2027-01-21}]",
     MW_CODE_MISSING_KEY, 0, 13, "a promise needs the key `until`", 0},
    {"promise until soon", "promised",
     "promised: [{what: x, holds: mill, from: 2027-01-21, until: soon}]", MW_CODE_YAML_FORM, 0, 60,
     "`until` must be a date, found `soon`", 0},

    {"line without unit", "lines", "lines: {own: 3 m}", MW_CODE_MISSING_KEY, 0, 9,
     "the line `own` needs a `unit`", 0},
    {"line without formula", "lines", "lines: {tax: {about: x}}", MW_CODE_MISSING_KEY, 0, 9,
     "the line `tax` needs a formula", 0},
    {"line with another unit", "lines", "lines: {tax: {unit: kg, is: 3 kg}}", MW_CODE_WRONG_KIND, 0,
     21, "the unit of `tax` must be of the kind of 1", 0},
    {"line broken", "lines", "lines: {tax: 21 % +}", MW_CODE_SYNTAX, 0, 19, "", 0},
    {"line called usual", "lines", "lines: {usual: 21 %}", MW_CODE_NAME_TAKEN, 0, 9,
     "cannot be called `usual`", 2},
    {"line of an unknown unit", "lines", "lines: {own: {unit: mtr, is: 3 m}}", MW_CODE_UNKNOWN_UNIT,
     0, 21, "`mtr` is no unit", 0},
};

/* Writes the sound shop with one of its lines replaced; returns the number of that line. */
static uint32_t write_shop(const fixture *f, const char *key, const char *text)
{
    mw_text file = {0};
    uint32_t line = 0;
    for (uint32_t i = 0; i < SOUND_LINES; i++) {
        if (strcmp(sound[i][0], key) != 0) {
            mw_text_addf(&file, "%s\n", sound[i][1]);
            continue;
        }
        line = i + 1;
        if (text[0] != '\0') {
            mw_text_addf(&file, "%s\n", text);
        }
    }
    fixture_write(f, "shops/bad.yaml", mw_text_chars(&file));
    mw_text_free(&file);
    return line;
}

static void is_refused(void **state)
{
    const error_row *row = *state;
    fixture f = fixture_start();
    uint32_t line = write_shop(&f, row->key, row->text);
    assert_int_not_equal(line, 0);
    const mw_shop *quay = fixture_shop(&f, "quay");
    const mw_shop *shop = NULL;
    mw_span at = fixture_ask(&f, "bad");
    mw_status status = mw_library_shop(f.library, mw_str_of("bad"), at, &shop, &f.diags);
    assert_int_equal(status, MW_FAILED);
    assert_null(shop);
    if (f.diags.errors != (row->errors == 0 ? 1 : row->errors)) {
        mw_text said = {0};
        mw_diags_render(&f.diags, f.sources, &said);
        fail_msg("%zu errors\n%s", f.diags.errors, mw_text_chars(&said));
    }
    expected_message want = {row->code, "bad.yaml", row->line == 0 ? line : row->line, row->column,
                             row->piece};
    fixture_says(&f, &f.diags.items[0], &want);

    /* What the sound shop before it set is still so. */
    assert_int_equal(mw_money_base_of(f.measure), quay->currency);
    mw_unit unit;
    size_t used;
    assert_int_equal(mw_unit_read(f.measure, mw_str_of("USD"), &used, &unit), MW_OK);
    assert_near(mw_unit_to_si(f.measure, unit, 1.0), 0.9, 1e-15);
    assert_int_equal(mw_unit_read(f.measure, mw_str_of("drum"), &used, &unit), MW_OK);
    assert_near(mw_unit_to_si(f.measure, unit, 1.0), 200.0, 1e-15);
    fixture_end(&f);
}

static void sound_shop_is_sound(void **state)
{
    (void)state;
    fixture f = fixture_start();
    write_shop(&f, "", "");
    const mw_shop *shop = fixture_shop(&f, "bad");
    assert_int_equal(shop->trade_count, 1);
    fixture_end(&f);
}

/* The first shop of a session: a broken one leaves the context without a currency and without its units. */
static void broken_first_shop_changes_nothing(void **state)
{
    (void)state;
    fixture f = fixture_start();
    write_shop(&f, "temperature", "temperature: []");
    const mw_shop *shop = NULL;
    mw_span at = fixture_ask(&f, "bad");
    assert_int_equal(mw_library_shop(f.library, mw_str_of("bad"), at, &shop, &f.diags), MW_FAILED);
    assert_int_equal(mw_money_base_of(f.measure), 0);
    mw_unit unit;
    size_t used;
    assert_int_equal(mw_unit_read(f.measure, mw_str_of("drum"), &used, &unit), MW_NOT_FOUND);
    mw_diags_clear(&f.diags);
    write_shop(&f, "", "");
    assert_non_null(fixture_shop(&f, "bad"));
    assert_int_equal(mw_unit_read(f.measure, mw_str_of("drum"), &used, &unit), MW_OK);
    fixture_end(&f);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "shop", rows, is_refused);
    test_add(&list, sound_shop_is_sound);
    test_add(&list, broken_first_shop_changes_nothing);
    return test_run(&list, "recipe: shop errors");
}
