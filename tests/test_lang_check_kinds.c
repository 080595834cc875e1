/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What formulas come to: value, unit and kind, through names, operators, functions, lists and
 * ranges. Expected values are worked out by hand from the definitions of the units (NIST Special
 * Publication 811, 2008, appendix B) unless the row says otherwise. */
#include "lang_fixture.h"

typedef struct row {
    const char *formula; /* also the name of the test */
    const char *answer;
    const char *kind;
} row;

static const row rows[] = {
    /* numbers and units */
    {"12", "12", "a plain number"},
    {"11.4 m2", "11.4 m2", "an area"},
    {"600 g/m2", "600 g/m2", "a mass per area"},
    {"58 EUR/h", "58 EUR/h", "money per time (EUR)"},
    {"20 degC", "20 degC", "a temperature"},
    {"-5 degC", "-5 degC", "a temperature"},
    {"8 %", "8 %", "a plain number"},
    {"1/2 in", "0.5 in", "a length"},
    {"1 / 2", "0.5", "a plain number"},
    {"2027-03-11", "2027-03-11", "a date"},
    {"\"carbon\"", "carbon", "a text"},
    {"\"a \\\"b\\\" \\\\ c\"", "a \"b\" \\ c", "a text"},
    {"\"\"", "", "a text"},
    {"yes", "yes", "yes or no"},
    {"no", "no", "yes or no"},
    /* names */
    {"area", "11.4 m2", "an area"},
    {"work", "12 h", "labour"},
    {"cure", "16 h", "clock time"},
    {"crew", "2 people", "people"},
    {"fibre", "carbon", "a text"},
    {"choice", "epoxy", "a text"},
    {"moulds.area", "6.5 m2, 3.25 m2, 3.5 m2", "an area"},
    /* sums: the unit of the left, unless that is a bare number */
    {"4 m2 + 3 m2", "7 m2", "an area"},
    {"4 m + 30 cm", "4.3 m", "a length"},
    {"30 cm + 4 m", "430 cm", "a length"},
    {"area - 1.4 m2", "10 m2", "an area"},
    {"edge + 1 ft", "9.3048 m", "a length"},
    {"1 - 8 %", "0.92", "a plain number"},
    {"8 % + 1", "1.08", "a plain number"},
    {"3 + 5 %", "3.05", "a plain number"},
    {"5 % + 3 %", "8 %", "a plain number"},
    {"5 % - 100 ppm", "4.99 %", "a plain number"},
    {"1 + 100 ppm", "1.0001", "a plain number"},
    {"1 + 90 deg - 1", "90 deg", "a plain number"},
    {"1 + 2", "3", "a plain number"},
    {"plies + 8 %", "4.08", "a plain number"},
    {"lost + plies", "4.08", "a plain number"},
    /* points */
    {"20 degC + 5 K", "25 degC", "a temperature"},
    {"5 K + 20 degC", "25 degC", "a temperature"},
    {"20 degC - 15 degC", "5 K", "a temperature difference"},
    {"20 degC - 5 K", "15 degC", "a temperature"},
    {"room + rise", "25 degC", "a temperature"},
    {"room = 68 degF", "yes", "yes or no"},
    {"2027-03-11 + 3 d", "2027-03-14", "a date"},
    {"2027-03-11 - 2027-01-11", "59 d", "clock time"},
    {"ready - 1 week", "2027-03-04", "a date"},
    {"ready + 12 h", "2027-03-11T12:00", "a date"},
    {"(ready - 2027-03-01) as h", "240 h", "clock time"},
    /* products and quotients */
    {"area * 600 g/m2", "6840 g", "a mass"},
    {"600 g/m2 * area", "6840 g", "a mass"},
    {"glass / area * area", "4.5 kg", "a mass"},
    {"area / edge", "1.26666666666667 m", "a length"},
    {"edge * edge", "81 m2", "an area"},
    {"2 * area", "22.8 m2", "an area"},
    {"area * 2", "22.8 m2", "an area"},
    {"area / 2", "5.7 m2", "an area"},
    {"1 / edge", "0.111111111111111 1/m", "a number per length"},
    {"5 kg * 8 %", "0.4 kg", "a mass"},
    {"8 % * 5 kg", "0.4 kg", "a mass"},
    {"glass / (1 - 10 %)", "5 kg", "a mass"},
    {"8 % * 50 %", "0.04", "a plain number"},
    {"2 * 8 %", "16 %", "a plain number"},
    {"8 % / 2", "4 %", "a plain number"},
    {"8 % / 2 %", "4", "a plain number"},
    {"area / area", "1", "a plain number"},
    {"edge / 1 ft", "29.5275590551181", "a plain number"},
    {"58 EUR/h * 2 h", "116.00 EUR", "money (EUR)"},
    {"fee / area", "10.5263157894737 EUR/m2", "money per area (EUR)"},
    /* labour and clock time */
    {"work * rate", "696.00 EUR", "money (EUR)"},
    {"work / crew", "6 h", "clock time"},
    {"work + 2 h", "14 h", "labour"},
    {"2 h + work", "14 h", "labour"},
    {"cure + 30 min", "16.5 h", "clock time"},
    {"0.4 h/m2 * area", "4.56 h", "a time"},
    /* powers and roots */
    {"edge^2", "81 m2", "an area"},
    {"edge^2 + area", "92.4 m2", "an area"},
    {"(4 m2)^(1/2)", "2 m", "a length"},
    {"(27 m3)^(1/3)", "3 m", "a length"},
    {"(4 m)^-1", "0.25 1/m", "a number per length"},
    {"2^10", "1024", "a plain number"},
    {"2^plies", "16", "a plain number"},
    {"-2^2", "-4", "a plain number"},
    {"2^3^2", "512", "a plain number"},
    {"(8 %)^2", "0.0064", "a plain number"},
    {"edge^0", "1", "a plain number"},
    {"sqrt(area * area)", "11.4 m2", "an area"},
    {"sqrt(16)", "4", "a plain number"},
    {"sqrt(edge)", "3 m^1/2", "a quantity in m^1/2"},
    /* signs, conversions */
    {"-area", "-11.4 m2", "an area"},
    {"-(-plies)", "4", "a plain number"},
    {"1/2 in as mm", "12.7 mm", "a length"},
    {"edge as ft", "29.5275590551181 ft", "a length"},
    {"area as ft2", "122.708578750491 ft2", "an area"},
    {"20 degC as degF", "68 degF", "a temperature"},
    {"20 degC as K", "293.15 K", "a temperature"},
    {"lost as %", "8 %", "a plain number"},
    {"0.25 as %", "25 %", "a plain number"},
    {"work as min", "720 min", "labour"},
    {"600 g/m2 as oz/yd2", "17.6961148089859 oz/yd2", "a mass per area"},
    {"moulds.area as cm2", "65000 cm2, 32500 cm2, 35000 cm2", "an area"},
    /* comparisons */
    {"area > 10 m2", "yes", "yes or no"},
    {"area < 10 m2", "no", "yes or no"},
    {"1 ft = 12 in", "yes", "yes or no"},
    {"70 cm = 0.7 m", "yes", "yes or no"},
    {"1 ft <> 12 in", "no", "yes or no"},
    {"1 ft < 12 in", "no", "yes or no"},
    {"1 ft <= 12 in", "yes", "yes or no"},
    {"12 in >= 1 ft", "yes", "yes or no"},
    {"12 in > 1 ft", "no", "yes or no"},
    {"0.1 + 0.2 = 0.3", "yes", "yes or no"},
    {"1 = 1.000001", "no", "yes or no"},
    {"room > 59 degF", "yes", "yes or no"},
    {"ready >= 2027-03-11", "yes", "yes or no"},
    {"fibre = \"carbon\"", "yes", "yes or no"},
    {"fibre = \"glass\"", "no", "yes or no"},
    {"fibre <> \"glass\"", "yes", "yes or no"},
    {"choice = \"epoxy\"", "yes", "yes or no"},
    {"wet = dry", "no", "yes or no"},
    {"wet <> dry", "yes", "yes or no"},
    {"work > 10 h", "yes", "yes or no"},
    /* truths */
    {"wet and dry", "no", "yes or no"},
    {"wet or dry", "yes", "yes or no"},
    {"not wet", "no", "yes or no"},
    {"not dry and wet", "yes", "yes or no"},
    {"plies > 2 and plies < 6", "yes", "yes or no"},
    {"not (plies > 2) or no", "no", "yes or no"},
    /* conditions */
    {"if wet then area else 1 m2", "11.4 m2", "an area"},
    {"if dry then area else 50 cm2", "0.005 m2", "an area"},
    {"if area > 10 m2 then 3 else 2", "3", "a plain number"},
    {"if plies > 4 then \"heavy\" else \"light\"", "light", "a text"},
    {"if wet then 0 else 8 %", "0 %", "a plain number"},
    {"if wet then 2 h else work", "2 h", "labour"},
    {"if yes then ready else 2027-01-01", "2027-03-11", "a date"},
    {"if plies = 1 then 1 else if plies = 4 then 40 else 400", "40", "a plain number"},
    /* functions */
    {"sum(moulds.area)", "13.25 m2", "an area"},
    {"mean(moulds.plies)", "4", "a plain number"},
    {"smallest(moulds.area)", "3.25 m2", "an area"},
    {"largest(moulds.area)", "6.5 m2", "an area"},
    {"count(moulds.area)", "3", "a plain number"},
    {"count(none)", "0", "a plain number"},
    {"count([yes, no])", "2", "a plain number"},
    {"count([])", "0", "a plain number"},
    {"sum(none)", "0 m2", "an area"},
    {"mean(none)", "error empty-list", "an area"},
    {"largest(none)", "error empty-list", "an area"},
    {"sum(area, 1 m2, 0.6 m2)", "13 m2", "an area"},
    {"sum(moulds.area, area)", "24.65 m2", "an area"},
    {"sum(2)", "2", "a plain number"},
    {"sum(1, 5 %)", "1.05", "a plain number"},
    {"sum(5 %, lost, plies)", "4.13", "a plain number"},
    {"sum(5 %, lost)", "13 %", "a plain number"},
    {"mean(5 %, 1)", "0.525", "a plain number"},
    {"largest(0, 5 %)", "5 %", "a plain number"},
    {"smallest(area, 3 m2)", "3 m2", "an area"},
    {"largest(45 min, 1.5 h)", "90 min", "a time"},
    {"largest(ready, 2027-04-01)", "2027-04-01", "a date"},
    {"mean(18 degC, 21 degC)", "19.5 degC", "a temperature"},
    {"mean(none, 4 m2)", "4 m2", "an area"},
    {"sum([none, 2])", NULL, NULL},
    {"exp(0)", "1", "a plain number"},
    {"ln(exp(2))", "2", "a plain number"},
    {"log10(1000)", "3", "a plain number"},
    {"sin(0)", "0", "a plain number"},
    {"cos(0)", "1", "a plain number"},
    {"round_to(sin(30 deg), 1e-9)", "0.5", "a plain number"},
    {"atan(0)", "0", "a plain number"},
    {"ln(edge / 1 m)", "2.19722457733622", "a plain number"},
    {"abs(-area)", "11.4 m2", "an area"},
    {"abs(3 kg - 5 kg)", "2 kg", "a mass"},
    {"round_up(28.3 kg, 5 kg)", "30 kg", "a mass"},
    {"round_up(28.3 kg, 5000 g)", "30 kg", "a mass"},
    {"round_down(work, 5 h)", "10 h", "labour"},
    {"round_to(2.5, 1)", "3", "a plain number"},
    {"week(ready)", "10", "a plain number"},
    {"year(ready) + month(ready) + day(ready)", "2041", "a plain number"},
    {"weekday(ready)", "4", "a plain number"},
    /* lists */
    {"[2, 3, 4]", "2, 3, 4", "a plain number"},
    {"[2 m, 30 cm]", "2 m, 0.3 m", "a length"},
    {"[]", "", "a plain number"},
    {"[\"a\", \"b\"]", "a, b", "a text"},
    {"[yes, no]", "yes, no", "yes or no"},
    {"[area, 2 * area]", "11.4 m2, 22.8 m2", "an area"},
    {"[2, 3] * 2", "4, 6", "a plain number"},
    {"2 * [2, 3]", "4, 6", "a plain number"},
    {"[2, 3] * [4, 5]", "8, 15", "a plain number"},
    {"moulds.area * 2", "13 m2, 6.5 m2, 7 m2", "an area"},
    {"moulds.area * moulds.plies", "26 m2, 19.5 m2, 7 m2", "an area"},
    {"moulds.area > 3.4 m2", "yes, no, yes", "yes or no"},
    {"not moulds.wet", "no, yes, no", "yes or no"},
    {"moulds.wet and wet", "yes, no, yes", "yes or no"},
    {"-moulds.plies", "-4, -6, -2", "a plain number"},
    {"if moulds.wet then moulds.area else 1 m2", "6.5 m2, 1 m2, 3.5 m2", "an area"},
    {"if wet then moulds.plies else 0", "4, 6, 2", "a plain number"},
    {"if moulds.area > 3.4 m2 then 1 else 0", "1, 0, 1", "a plain number"},
    {"sqrt(moulds.area * moulds.area)", "6.5 m2, 3.25 m2, 3.5 m2", "an area"},
    {"round_up(moulds.area, 1 m2)", "7 m2, 4 m2, 4 m2", "an area"},
    {"[1, 2]^2", "1, 4", "a plain number"},
    {"[2 m, 3 m]^2", "4 m2, 9 m2", "an area"},
    {"2^[1, 2, 3]", "2, 4, 8", "a plain number"},
    {"week([2027-01-01, 2027-03-11])", "53, 10", "a plain number"},
    {"moulds.area / sum(moulds.area)", "0.490566037735849, 0.245283018867925, 0.264150943396226",
     "a plain number"},
    {"sum(moulds.area * (plies * 2))", "106 m2", "an area"},
    {"sum(moulds.area * sum(moulds.plies) / 12)", "13.25 m2", "an area"},
    {"sum(if moulds.wet then moulds.area else 0 m2)", "10 m2", "an area"},
    {"sum(round_up(moulds.area / 2 m2, 1))", "8", "a plain number"},
    {"count(moulds.area * 2)", "3", "a plain number"},
    {"largest(moulds.area * moulds.plies) + area", "37.4 m2", "an area"},
    {"sum([area, edge * 1 m] * 2)", "40.8 m2", "an area"},
    {"none * 2", "", "an area"},
    /* ranges: the likely value in arithmetic, all three by themselves */
    {"6 .. 8 .. 12 h", "6 h, 8 h, 12 h", "a time"},
    {"6 .. 12 h", "6 h, 9 h, 12 h", "a time"},
    {"6 h .. 8 h .. 12 h", "6 h, 8 h, 12 h", "a time"},
    {"30 min .. 2 h", "0.5 h, 1.25 h, 2 h", "a time"},
    {"5 .. 8 .. 12 %", "5 %, 8 %, 12 %", "a plain number"},
    {"-5 .. 10 .. 30 degC", "-5 degC, 10 degC, 30 degC", "a temperature"},
    {"2 .. 3 .. 4", "2, 3, 4", "a plain number"},
    {"2 .. 2 .. 2", "2, 2, 2", "a plain number"},
    {"(6 .. 8 .. 12 h) * 2", "16 h", "a time"},
    {"(6 .. 12 h) + 1 h", "10 h", "a time"},
    {"1 .. plies .. 9", "1, 4, 9", "a plain number"},
    {"plies .. 9", "4, 6.5, 9", "a plain number"},
    {"(plies .. 9) * 2", "13", "a plain number"},
    {"5 .. plies .. 9", "error out-of-range, error out-of-range, error out-of-range",
     "a plain number"},
    {"6 .. 8 .. 12 h as min", "360 min, 480 min, 720 min", "a time"},
    {"2027-03-01 .. 2027-03-11", "2027-03-01, 2027-03-06, 2027-03-11", "a date"},
    {"[1 .. 3, 2 .. 4 .. 9]", "2, 4", "a plain number"},
};

static void check_row(void **state)
{
    const row *wanted = *state;
    lang_fixture world;
    lang_start(&world);
    if (wanted->answer == NULL) { /* a list inside a list has no answer */
        assert_int_equal(lang_check(&world, wanted->formula, NULL), MW_FAILED);
        lang_stop(&world);
        return;
    }
    assert_string_equal(lang_answer(&world, wanted->formula), wanted->answer);
    mw_text_clear(&world.text);
    mw_type_words(world.measure, world.meaning.type, &world.text);
    assert_string_equal(mw_text_chars(&world.text), wanted->kind);
    lang_stop(&world);
}

/* Formulas and what they read, in the order of appearance. */
typedef struct reads_row {
    const char *formula;
    const char *cells;
    mw_shape shape;
    bool constant;
} reads_row;

static const reads_row reads_rows[] = {
    {"2 * 3 kg", "", MW_SHAPE_ONE, true},
    {"choice", "", MW_SHAPE_ONE, true},
    {"area", "0", MW_SHAPE_ONE, false},
    {"edge * plies + edge", "1 3", MW_SHAPE_ONE, false},
    {"area as cm2", "0", MW_SHAPE_ONE, false},
    {"moulds.area", "19 20 21", MW_SHAPE_LIST, false},
    {"sum(moulds.area) + area", "19 20 21 0", MW_SHAPE_ONE, false},
    {"count(moulds.area) + plies", "3", MW_SHAPE_ONE, false},
    {"count(moulds.area * plies)", "", MW_SHAPE_ONE, true},
    {"if wet then area else area", "10 0", MW_SHAPE_ONE, false},
    {"1 .. plies .. 9", "3", MW_SHAPE_RANGE, false},
    {"1 .. 2 .. 9", "", MW_SHAPE_RANGE, true},
    {"1 .. 2 .. 9 h as min", "", MW_SHAPE_RANGE, true},
    {"(1 .. plies .. 9) + 1", "3", MW_SHAPE_ONE, false},
    {"[]", "", MW_SHAPE_LIST, true},
    {"week(ready)", "13", MW_SHAPE_ONE, false},
};

static void check_reads(void **state)
{
    const reads_row *wanted = *state;
    lang_fixture world;
    lang_start(&world);
    lang_must_check(&world, wanted->formula);
    uint32_t count;
    const uint32_t *reads = mw_compiler_reads(world.compiler, &count);
    mw_text_clear(&world.text);
    for (uint32_t i = 0; i < count; i++) {
        mw_text_addf(&world.text, i > 0 ? " %u" : "%u", reads[i]);
    }
    assert_string_equal(mw_text_chars(&world.text), wanted->cells);
    assert_int_equal(world.meaning.shape, wanted->shape);
    assert_int_equal(world.meaning.constant, wanted->constant);
    lang_stop(&world);
}

/* More names than are compared one by one, some of them twice. */
static void check_many_reads(void **state)
{
    (void)state;
    lang_fixture world;
    lang_start(&world);
    lang_must_check(&world,
                    "sum(moulds.plies) + sum(moulds.area) / 1 m2 + sum(pair.glass) / 1 kg + "
                    "plies + zero + edge / 1 m + area / 1 m2 + glass / 1 kg + lost + "
                    "rate / 1 EUR/h + fee / 1 EUR + wrong + worse + (ready - ready) / 1 h + "
                    "(room - room) / rise + plies + sum(moulds.area) / area");
    uint32_t count;
    const uint32_t *reads = mw_compiler_reads(world.compiler, &count);
    assert_int_equal(count, 21);
    for (uint32_t i = 0; i < count; i++) {
        for (uint32_t j = 0; j < i; j++) {
            assert_int_not_equal(reads[i], reads[j]);
        }
    }
    lang_stop(&world);
}

/* Declared kinds: the result gets that kind. */
typedef struct slot_row {
    const char *formula;
    const char *slot;
    const char *kind;
} slot_row;

static const slot_row slot_rows[] = {
    {"area", "m2", "an area"},           {"3 h", "labour", "labour"},
    {"3 h", "time", "clock time"},       {"0.4 h/m2 * area", "labour", "labour"},
    {"3", "people", "people"},           {"ready", "date", "a date"},
    {"plies > 3", "truth", "yes or no"}, {"fibre", "text", "a text"},
    {"8 %", "", "a plain number"},       {"6 .. 8 .. 12 h", "labour", "labour"},
    {"moulds.area", "m2", "an area"},
};

static void check_slot(void **state)
{
    const slot_row *wanted = *state;
    lang_fixture world;
    lang_start(&world);
    assert_int_equal(lang_check(&world, wanted->formula, wanted->slot), MW_OK);
    mw_type_words(world.measure, world.meaning.type, &world.text);
    assert_string_equal(mw_text_chars(&world.text), wanted->kind);
    lang_stop(&world);
}

static void check_usual(void **state)
{
    (void)state;
    lang_fixture world;
    lang_start(&world);
    world.usual = (mw_reference){.slot = 0, .count = 1};
    world.usual.type = lang_type(&world, "m2", &world.usual.unit);
    world.scope.usual = &world.usual;
    assert_string_equal(lang_answer(&world, "usual * 1.5"), "17.1 m2");
    lang_stop(&world);
}

/* Money of a currency with a rate is the shop's money. */
static void check_rates(void **state)
{
    (void)state;
    lang_fixture world;
    lang_start(&world);
    const uint16_t euro = mw_currency_find(world.measure, mw_str_of("EUR"));
    const uint16_t dollar = mw_currency_find(world.measure, mw_str_of("USD"));
    assert_int_equal(mw_money_base(world.measure, euro), MW_OK);
    assert_int_equal(mw_money_rate(world.measure, dollar, 0.8), MW_OK);
    assert_string_equal(lang_answer(&world, "100 EUR + 5 USD"), "104.00 EUR");
    assert_string_equal(lang_answer(&world, "100 EUR as USD"), "125.00 USD");
    lang_stop(&world);
}

/* What is not known yet stops the check without a word; what the scope reported is not reported
 * again. */
static void check_scope_answers(void **state)
{
    (void)state;
    lang_fixture world;
    lang_start(&world);
    assert_int_equal(lang_check(&world, "area + later", NULL), MW_PENDING);
    assert_int_equal(world.diags.errors, 0);
    assert_int_equal(lang_check(&world, "later + nowhere", NULL), MW_PENDING);
    assert_int_equal(world.diags.errors, 0);
    assert_int_equal(lang_check(&world, "broken * 2 + 3 kg", NULL), MW_FAILED);
    assert_int_equal(world.diags.errors, 1);
    assert_int_equal(lang_check(&world, "4 m2 + 3 kg + later", NULL), MW_FAILED);
    assert_int_equal(world.diags.errors, 1);
    world.scope = (mw_scope){.context = &world};
    assert_int_equal(lang_check(&world, "area", NULL), MW_FAILED);
    assert_string_equal(lang_answer(&world, "2 * 3 kg"), "6 kg");
    lang_stop(&world);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "answer", rows, check_row);
    test_add_rows(&tests, "reads", reads_rows, check_reads);
    test_add_rows(&tests, "slot", slot_rows, check_slot);
    test_add(&tests, check_many_reads);
    test_add(&tests, check_usual);
    test_add(&tests, check_rates);
    test_add(&tests, check_scope_answers);
    return test_run(&tests, "lang_check_kinds");
}
