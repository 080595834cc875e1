/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Units: what each is worth, against its published definition. */
#include "measure_support.h"

#include <math.h>

#include "mouldwright/money.h"

/* --- exact definitions ----------------------------------------------------------------------- */

#define YARD_POUND "International yard and pound agreement, 1959; NIST SP 811 (2008), app. B.8"
#define POUND_FORCE \
    "lb times standard gravity 9.80665 m/s2, CGPM 1901; NIST SP 811 (2008), app. B.8"
#define GALLON   "231 in3; NIST SP 811 (2008), app. B.8"
#define IMPERIAL "4.546 09 L; NIST SP 811 (2008), app. B.8"
#define BTU \
    "5th International Conference on Properties of Steam, 1956; NIST SP 811 (2008), app. B.8"
#define PRESSURES "NIST SP 811 (2008), app. B.8, conventional columns to more digits"
#define OTHERS    "NIST SP 811 (2008), app. B.8"

typedef struct exact_row {
    const char *name;
    const char *unit;
    const char *si;
    long double numerator; /* of the exact fraction */
    long double denominator;
    const char *source;
} exact_row;

/* clang-format off */
static const exact_row exact_rows[] = {
    {"inch", "in", "m", 127.0L, 5000.0L, YARD_POUND},
    {"foot", "ft", "m", 381.0L, 1250.0L, YARD_POUND},
    {"yard", "yd", "m", 1143.0L, 1250.0L, YARD_POUND},
    {"mile", "mile", "m", 201168.0L, 125.0L, YARD_POUND},
    {"mil", "mil", "m", 127.0L, 5000000.0L, YARD_POUND},
    {"microinch", "uin", "m", 127.0L, 5000000000.0L, YARD_POUND},
    {"square inch", "in2", "m2", 16129.0L, 25000000.0L, YARD_POUND},
    {"square foot", "ft2", "m2", 145161.0L, 1562500.0L, YARD_POUND},
    {"square yard", "yd2", "m2", 1306449.0L, 1562500.0L, YARD_POUND},
    {"cubic inch", "in3", "m3", 2048383.0L, 125000000000.0L, YARD_POUND},
    {"cubic foot", "ft3", "m3", 55306341.0L, 1953125000.0L, YARD_POUND},
    {"ounce (avoirdupois)", "oz", "kg", 45359237.0L, 1600000000.0L, YARD_POUND},
    {"pound (avoirdupois)", "lb", "kg", 45359237.0L, 100000000.0L, YARD_POUND},
    {"short ton", "ton_us", "kg", 45359237.0L, 50000.0L, YARD_POUND},
    {"long ton", "ton_uk", "kg", 317514659.0L, 312500.0L, YARD_POUND},
    {"gallon (US)", "gal", "m3", 473176473.0L, 125000000000.0L, GALLON},
    {"quart (US liquid)", "qt", "m3", 473176473.0L, 500000000000.0L, GALLON},
    {"pint (US liquid)", "pt", "m3", 473176473.0L, 1000000000000.0L, GALLON},
    {"cup (US)", "cup", "m3", 473176473.0L, 2000000000000.0L, GALLON},
    {"fluid ounce (US)", "fl_oz", "m3", 473176473.0L, 16000000000000.0L, GALLON},
    {"gallon (UK)", "gal_uk", "m3", 454609.0L, 100000000.0L, IMPERIAL},
    {"pint (UK)", "pt_uk", "m3", 454609.0L, 800000000.0L, IMPERIAL},
    {"fluid ounce (UK)", "fl_oz_uk", "m3", 454609.0L, 16000000000.0L, IMPERIAL},
    {"pound-force", "lbf", "N", 8896443230521.0L, 2000000000000.0L, POUND_FORCE},
    {"psi", "psi", "Pa", 8896443230521.0L, 1290320000.0L, POUND_FORCE},
    {"ksi", "ksi", "Pa", 8896443230521.0L, 1290320.0L, POUND_FORCE},
    {"bar", "bar", "Pa", 100000.0L, 1.0L, PRESSURES},
    {"standard atmosphere", "atm", "Pa", 101325.0L, 1.0L, PRESSURES},
    {"torr", "torr", "Pa", 20265.0L, 152.0L, PRESSURES},
    {"inch of mercury (conventional)", "inHg", "Pa", 3386388640341.0L, 1000000000.0L, PRESSURES},
    {"inch of water (conventional)", "inH2O", "Pa", 24908891.0L, 100000.0L, PRESSURES},
    {"Btu_IT", "Btu", "J", 52752792631.0L, 50000000.0L, BTU},
    {"horsepower (550 ft lbf/s)", "hp", "W", 37284993579113511.0L, 50000000000000.0L, POUND_FORCE},
    {"horsepower (metric)", "hp_metric", "W", 588399.0L, 800.0L, OTHERS},
    {"Btu_IT per hour", "Btu/h", "W", 52752792631.0L, 180000000000.0L, BTU},
    {"ounce per square yard", "oz/yd2", "kg/m2", 45359237.0L, 1337803776.0L, YARD_POUND},
    {"ounce per square foot", "oz/ft2", "kg/m2", 45359237.0L, 148644864.0L, YARD_POUND},
    {"pound per square foot", "lb/ft2", "kg/m2", 45359237.0L, 9290304.0L, YARD_POUND},
    {"pound per cubic foot", "lb/ft3", "kg/m3", 28349523125.0L, 1769802912.0L, YARD_POUND},
    {"pound per cubic inch", "lb/in3", "kg/m3", 56699046250.0L, 2048383.0L, YARD_POUND},
    {"pound per gallon (US)", "lb/gal", "kg/m3", 736351250.0L, 6145149.0L, GALLON},
    {"denier", "denier", "kg/m", 1.0L, 9000000.0L, OTHERS},
    {"tex", "tex", "kg/m", 1.0L, 1000000.0L, OTHERS},
    {"foot-pound", "ft*lbf", "N*m", 3389544870828501.0L, 2500000000000000.0L, POUND_FORCE},
    {"cubic foot per minute", "ft3/min", "m3/s", 18435447.0L, 39062500000.0L, YARD_POUND},
    {"mile per hour", "mile/h", "m/s", 1397.0L, 3125.0L, YARD_POUND},
};
/* clang-format on */

static void test_exact(void **state)
{
    const exact_row *row = *state;
    mw_measure *measure = mw_measure_new();
    mw_unit unit = unit_of(measure, row->unit);
    mw_unit si = unit_of(measure, row->si);
    double want = (double)(row->numerator / row->denominator);
    assert_near(mw_unit_scale(measure, unit) / mw_unit_scale(measure, si), want, 1e-15);
    assert_near(mw_unit_from_si(measure, si, mw_unit_to_si(measure, unit, 1)), want, 1e-15);
    assert_true(mw_unit_shows(measure, si, mw_unit_type(measure, unit)));
    mw_measure_free(measure);
}

/* --- SI -------------------------------------------------------------------------------------- */

#define SI_4 "SI Brochure, 9th edition (2019), table 4"
#define SI_8 "SI Brochure, 9th edition (2019), table 8"

/* One unit is `factor` times another. */
typedef struct equal_row {
    const char *name; /* the unit */
    double factor;
    const char *other;
    const char *source;
} equal_row;

static const equal_row equal_rows[] = {
    {"kg", 1000, "g", SI_4},
    {"rad", 1, "m/m", SI_4},
    {"sr", 1, "m2/m2", SI_4},
    {"Hz", 1, "1/s", SI_4},
    {"N", 1, "kg*m/s2", SI_4},
    {"Pa", 1, "kg/m/s2", SI_4},
    {"Pa", 1, "N/m2", SI_4},
    {"J", 1, "kg*m2/s2", SI_4},
    {"J", 1, "N*m", SI_4},
    {"W", 1, "J/s", SI_4},
    {"C", 1, "A*s", SI_4},
    {"V", 1, "W/A", SI_4},
    {"F", 1, "C/V", SI_4},
    {"ohm", 1, "V/A", SI_4},
    {"S", 1, "A/V", SI_4},
    {"Wb", 1, "V*s", SI_4},
    {"T", 1, "Wb/m2", SI_4},
    {"H", 1, "Wb/A", SI_4},
    {"lm", 1, "cd*sr", SI_4},
    {"lx", 1, "lm/m2", SI_4},
    {"Bq", 1, "1/s", SI_4},
    {"Gy", 1, "J/kg", SI_4},
    {"Sv", 1, "J/kg", SI_4},
    {"kat", 1, "mol/s", SI_4},
    {"min", 60, "s", SI_8},
    {"h", 60, "min", SI_8},
    {"d", 24, "h", SI_8},
    {"au", 149597870700.0, "m", SI_8},
    {"deg", 3.14159265358979323846 / 180, "rad", SI_8},
    {"ha", 10000, "m2", SI_8},
    {"L", 1, "dm3", SI_8},
    {"t", 1000, "kg", SI_8},
    {"Da", 1.66053906660e-27, "kg", SI_8},
    {"u", 1, "Da", SI_8},
    {"eV", 1.602176634e-19, "J", SI_8},
    {"bar", 100000, "Pa", "NIST SP 811 (2008), table 8"},
    {"mmHg", 133.322387415, "Pa", "NIST SP 811 (2008), app. B.8, to more digits"},
    {"mmHg", 13.5951 * 9.80665, "Pa", "mercury of 13 595.1 kg/m3, ISO 80000-4:2006 annex"},
    {"week", 7, "d", "common"},
    {"angstrom", 1e-10, "m", "NIST SP 811 (2008), table 10"},
    {"nmi", 1852, "m", "NIST SP 811 (2008), table 9"},
    {"knot", 1852.0 / 3600, "m/s", "NIST SP 811 (2008), table 9"},
    {"kWh", 3.6e6, "J", "NIST SP 811 (2008), app. B.8"},
    {"cal", 4.184, "J", "NIST SP 811 (2008), app. B.8, calorie th"},
    {"cal_IT", 4.1868, "J", "NIST SP 811 (2008), app. B.8, calorie IT"},
    {"Btu", 251.99576111, "cal_IT", "from both definitions, to 11 digits"},
    {"P", 0.1, "Pa*s", "NIST SP 811 (2008), app. B.8"},
    {"cP", 1, "mPa*s", "NIST SP 811 (2008), app. B.8"},
    {"St", 1e-4, "m2/s", "NIST SP 811 (2008), app. B.8"},
    {"dyn", 1e-5, "N", "NIST SP 811 (2008), app. B.8"},
    {"kgf", 9.80665, "N", "NIST SP 811 (2008), app. B.8"},
    {"kip", 1000, "lbf", "NIST SP 811 (2008), app. B.8"},
    {"ozf", 1.0 / 16, "lbf", "NIST SP 811 (2008), app. B.8"},
    {"psi", 1, "lbf/in2", "NIST SP 811 (2008), app. B.8"},
    {"Msi", 1e6, "psi", "common"},
    {"hp", 550, "ft*lbf/s", "NIST SP 811 (2008), app. B.8"},
    {"hp_metric", 75, "kgf*m/s", "NIST SP 811 (2008), app. B.8"},
    {"slug", 1, "lbf*s2/ft", "NIST SP 811 (2008), app. B.8"},
    {"gal", 231, "in3", "NIST SP 811 (2008), app. B.8"},
    {"gal", 4, "qt", "NIST SP 811 (2008), app. B.8"},
    {"qt", 2, "pt", "NIST SP 811 (2008), app. B.8"},
    {"pt", 16, "fl_oz", "NIST SP 811 (2008), app. B.8"},
    {"cup", 8, "fl_oz", "NIST SP 811 (2008), app. B.8"},
    {"fl_oz", 2, "tbsp", "NIST SP 811 (2008), app. B.8"},
    {"tbsp", 3, "tsp", "NIST SP 811 (2008), app. B.8"},
    {"gal_uk", 160, "fl_oz_uk", "NIST SP 811 (2008), app. B.8"},
    {"gal_uk", 4, "qt_uk", "NIST SP 811 (2008), app. B.8"},
    {"qt_uk", 2, "pt_uk", "NIST SP 811 (2008), app. B.8"},
    {"lb", 7000, "gr", "NIST SP 811 (2008), app. B.8"},
    {"lb", 256, "dr", "NIST SP 811 (2008), app. B.8"},
    {"stone", 14, "lb", "common"},
    {"cwt_us", 100, "lb", "NIST SP 811 (2008), app. B.8"},
    {"cwt_uk", 112, "lb", "NIST SP 811 (2008), app. B.8"},
    {"ton_uk", 20, "cwt_uk", "NIST SP 811 (2008), app. B.8"},
    {"tex", 1, "g/km", "NIST SP 811 (2008), app. B.8"},
    {"denier", 1.0 / 9, "tex", "NIST SP 811 (2008), app. B.8"},
    {"inH2O", 25.4, "mmH2O", "NIST SP 811 (2008), app. B.8"},
    {"inHg", 25.4, "mmHg", "NIST SP 811 (2008), app. B.8"},
    {"atm", 760, "Torr", "NIST SP 811 (2008), app. B.8"},
    {"cc", 1, "cm3", "common"},
    {"rpm", 1, "1/min", "our choice: a revolution is a plain 1"},
    {"degR", 5.0 / 9, "K", "NIST SP 811 (2008), app. B.8"},
    {"degF_step", 5.0 / 9, "K", "NIST SP 811 (2008), app. B.8, temperature interval"},
    {"degC_step", 1, "K", "SI Brochure, 9th edition (2019), 2.3.1"},
    {"W/m/degC", 1, "W/m/K", "a degree beside others is a difference"},
    {"Btu/h/ft2/degF", 5.678263341113488, "W/m2/K", "NIST SP 811 (2008), app. B.8, to more digits"},
    {"%", 0.01, "", "ISO 80000-1:2009, 6.5.5"},
    {"ppm", 1e-6, "", "common"},
    {"phr", 0.01, "", "common practice in resins"},
    {"dozen", 12, "pcs", "common"},
};

static void test_equal(void **state)
{
    const equal_row *row = *state;
    mw_measure *measure = mw_measure_new();
    mw_unit unit = unit_of(measure, row->name);
    mw_unit other = unit_of(measure, row->other);
    double tolerance = strstr(row->source, "11 digits") != NULL ? 1e-10 : 1e-15;
    assert_near(mw_unit_scale(measure, unit) / mw_unit_scale(measure, other), row->factor,
                tolerance);
    mw_type joined;
    assert_int_equal(
        mw_type_join(measure, mw_unit_type(measure, unit), mw_unit_type(measure, other), &joined),
        MW_TYPE_FINE);
    mw_measure_free(measure);
}

/* --- prefixes -------------------------------------------------------------------------------- */

/* Source: SI Brochure, 9th edition (2019), table 7, with the four of resolution 3 of the 27th CGPM,
 * 2022. */
typedef struct prefix_test_row {
    const char *name;
    double factor;
} prefix_test_row;

static const prefix_test_row prefix_test_rows[] = {
    {"da", 1e1},  {"h", 1e2},   {"k", 1e3},   {"M", 1e6},   {"G", 1e9},   {"T", 1e12},
    {"P", 1e15},  {"E", 1e18},  {"Z", 1e21},  {"Y", 1e24},  {"R", 1e27},  {"Q", 1e30},
    {"d", 1e-1},  {"c", 1e-2},  {"m", 1e-3},  {"u", 1e-6},  {"n", 1e-9},  {"p", 1e-12},
    {"f", 1e-15}, {"a", 1e-18}, {"z", 1e-21}, {"y", 1e-24}, {"r", 1e-27}, {"q", 1e-30},
};
_Static_assert(sizeof prefix_test_rows / sizeof prefix_test_rows[0] == 24, "all 24 prefixes");

static void test_prefix(void **state)
{
    static const char *const names[] = {"m",  "g",  "A",  "K",   "mol", "cd",  "Hz",  "N",  "Pa",
                                        "J",  "W",  "C",  "V",   "F",   "ohm", "S",   "Wb", "T",
                                        "H",  "lm", "lx", "Bq",  "Gy",  "Sv",  "kat", "L",  "l",
                                        "eV", "P",  "St", "bar", "tex", "rad", "s"};
    const prefix_test_row *row = *state;
    mw_measure *measure = mw_measure_new();
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        char text[16];
        snprintf(text, sizeof text, "%s%s", row->name, names[i]);
        /* These are words of their own: a word of the language. */
        if (strcmp(text, "as") == 0) {
            continue;
        }
        double plain = mw_unit_scale(measure, unit_of(measure, names[i]));
        assert_near(mw_unit_scale(measure, unit_of(measure, text)), plain * row->factor, 3e-16);
    }
    mw_measure_free(measure);
}

/* Powers of prefixed units are the doubles nearest to their exact value. */
static void test_powers_are_exact(void **state)
{
    (void)state;
    static const struct {
        const char *unit;
        double scale;
    } rows[] = {{"cm3", 1e-6},         {"mm2", 1e-6},       {"mm3", 1e-9},  {"mm4", 1e-12},
                {"um3", 1e-18},        {"g/m2", 1e-3},      {"g/cm3", 1e3}, {"kg/dm3", 1e3},
                {"in3", 16387064e-12}, {"ft2", 9290304e-8}, {"N/mm2", 1e6}, {"km2", 1e6},
                {"1/mm2", 1e6},        {"L/m2", 1e-3},      {"kN/m2", 1e3}};
    mw_measure *measure = mw_measure_new();
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        assert_true(mw_unit_scale(measure, unit_of(measure, rows[i].unit)) == rows[i].scale);
    }
    mw_measure_free(measure);
}

/* --- conversions of the trade ---------------------------------------------------------------- */

typedef struct conversion_row {
    const char *name;
    double value;
    const char *from;
    double want;
    const char *to;
    const char *source;
} conversion_row;

static const conversion_row conversion_rows[] = {
    {"chopped strand mat", 1.5, "oz/ft2", 457.727590911, "g/m2", YARD_POUND},
    {"cloth", 6, "oz/yd2", 203.434484849, "g/m2", YARD_POUND},
    {"coat of 40 mil", 40, "mil", 1.016, "mm", YARD_POUND},
    {"vacuum of 29 inHg", 29, "inHg", 982.052705699, "mbar", PRESSURES},
    {"press of 100 psi", 100, "psi", 689.475729317, "kPa", POUND_FORCE},
    {"pump", 1, "gal/min", 3.785411784, "L/min", GALLON},
    {"oven", 350, "degF", 176.666666667, "degC", "NIST SP 811 (2008), app. B.8"},
    {"room", 68, "degF", 20, "degC", "NIST SP 811 (2008), app. B.8"},
    {"freezing", 32, "degF", 0, "degC", "NIST SP 811 (2008), app. B.8"},
    {"boiling", 100, "degC", 212, "degF", "NIST SP 811 (2008), app. B.8"},
    {"minus forty", -40, "degC", -40, "degF", "NIST SP 811 (2008), app. B.8"},
    {"absolute zero", 0, "K", 0, "degR", "NIST SP 811 (2008), app. B.8"},
    {"20 degrees F", 20, "degF_step", 11.111111111, "K", "NIST SP 811 (2008), app. B.8"},
    {"foam", 0.9, "lb/ft3", 14.416617037, "kg/m3", YARD_POUND},
    {"carbon fibre modulus", 33, "Msi", 227.526990674, "GPa", POUND_FORCE},
    {"half an inch", 0.5, "in", 12.7, "mm", YARD_POUND},
    {"roll of cloth", 50, "yd", 45.72, "m", YARD_POUND},
    {"feed", 100, "in/min", 2.54, "m/min", YARD_POUND},
    {"gel coat", 1, "lb/ft2", 4.88242763638, "kg/m2", YARD_POUND},
    {"viscosity", 500, "cP", 0.5, "Pa*s", OTHERS},
    {"dyne pen", 38, "dyn/cm", 38, "mN/m", OTHERS},
    {"a shift", 8, "h", 480, "min", SI_8},
    {"a week", 1, "week", 168, "h", SI_8},
    {"percent", 8, "%", 0.08, "", "ISO 80000-1:2009, 6.5.5"},
    {"hardener", 15, "phr", 15, "%", "common practice in resins"},
    {"angle", 180, "deg", 3.14159265358979, "rad", SI_8},
};

static void test_conversion(void **state)
{
    const conversion_row *row = *state;
    mw_measure *measure = mw_measure_new();
    double si = mw_unit_to_si(measure, unit_of(measure, row->from), row->value);
    double got = mw_unit_from_si(measure, unit_of(measure, row->to), si);
    if (row->want == 0) {
        assert_close(got, 0, 1e-12);
    } else {
        assert_near(got, row->want, 1e-9);
    }
    mw_measure_free(measure);
}

/* --- points ---------------------------------------------------------------------------------- */

static void test_points(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    mw_unit celsius = unit_of(measure, "degC");
    mw_unit fahrenheit = unit_of(measure, "degF");
    assert_int_equal(mw_unit_type(measure, celsius), MW_TYPE_DEGREES);
    assert_int_equal(mw_unit_type(measure, fahrenheit), MW_TYPE_DEGREES);
    assert_int_equal(mw_unit_type(measure, unit_of(measure, "K")), MW_TYPE_TEMPERATURE);
    assert_true(mw_unit_offset(measure, celsius) == 273.15);
    assert_near(mw_unit_offset(measure, fahrenheit), 255.372222222222222, 1e-15);
    assert_true(mw_unit_offset(measure, unit_of(measure, "1/degC")) == 0);
    /* As near as a double in kelvin can be: half a step at 1000 K is 1.1e-13. */
    for (int degree = -460; degree <= 1000; degree++) {
        double kelvin = mw_unit_to_si(measure, fahrenheit, degree);
        assert_close(mw_unit_from_si(measure, celsius, kelvin), (degree - 32) / 1.8, 1.2e-13);
        kelvin = mw_unit_to_si(measure, celsius, degree);
        assert_close(mw_unit_from_si(measure, celsius, kelvin), degree, 1.2e-13);
    }
    mw_measure_free(measure);
}

/* --- money ----------------------------------------------------------------------------------- */

static void test_money_units(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    uint16_t euro = mw_currency_find(measure, mw_str_of("EUR"));
    uint16_t pound = mw_currency_find(measure, mw_str_of("GBP"));
    mw_unit price = unit_of(measure, "GBP/kg");
    mw_type pounds = mw_money_type(measure, pound);
    mw_type euros = mw_money_type(measure, euro);
    assert_int_equal(mw_unit_type(measure, unit_of(measure, "GBP")), pounds);
    size_t used = 99;
    mw_unit unit;
    assert_int_equal(mw_unit_read(measure, mw_str_of("EUR/GBP"), &used, &unit), MW_FAILED);
    assert_int_equal(mw_unit_read(measure, mw_str_of("EUR*GBP"), &used, &unit), MW_FAILED);
    /* No rate before the shop's currency is known. */
    assert_int_equal(mw_money_rate(measure, pound, 1.15), MW_FAILED);
    assert_int_equal(mw_money_base(measure, euro), MW_OK);
    assert_int_equal(mw_money_base_of(measure), euro);
    assert_int_equal(mw_money_rate(measure, euro, 1), MW_OK);
    assert_int_equal(mw_money_rate(measure, euro, 2), MW_FAILED);
    assert_int_equal(mw_money_rate(measure, pound, 0), MW_FAILED);
    assert_int_equal(mw_money_rate(measure, pound, -1), MW_FAILED);
    assert_int_equal(mw_money_rate(measure, pound, (double)NAN), MW_FAILED);
    assert_int_equal(mw_money_rate(measure, pound, HUGE_VAL), MW_FAILED);
    assert_int_equal(mw_money_rate(measure, 0, 1), MW_NOT_FOUND);
    assert_int_equal(mw_money_base(measure, 9999), MW_NOT_FOUND);
    assert_int_equal(mw_money_rate(measure, pound, 1.15), MW_OK);
    /* Units read before the rate know it too. */
    assert_int_equal(mw_unit_type(measure, unit_of(measure, "GBP")), euros);
    assert_int_equal(mw_money_type(measure, pound), euros);
    assert_int_equal(mw_unit_type(measure, price),
                     mw_unit_type(measure, unit_of(measure, "EUR/kg")));
    assert_near(mw_unit_to_si(measure, price, 10), 11.5, 1e-15);
    assert_near(mw_unit_scale(measure, unit_of(measure, "EUR/GBP")), 1 / 1.15, 1e-15);
    assert_true(mw_unit_shows(measure, price, mw_unit_type(measure, unit_of(measure, "EUR/kg"))));
    /* Another currency forgets the rates. */
    assert_int_equal(mw_money_base(measure, pound), MW_OK);
    assert_int_equal(mw_unit_type(measure, unit_of(measure, "GBP")), pounds);
    assert_near(mw_unit_to_si(measure, price, 10), 10, 1e-15);
    assert_int_equal(mw_money_base(measure, pound), MW_OK);
    mw_measure_free(measure);
}

/* --- usual units ----------------------------------------------------------------------------- */

typedef struct usual_test_row {
    const char *name;
    const char *want;
} usual_test_row;

/* Our own choice; see docs/units.md. */
static const usual_test_row usual_test_rows[] = {
    {"", ""},
    {"%", ""},
    {"mm", "m"},
    {"in2", "m2"},
    {"cm3", "L"},
    {"lb", "kg"},
    {"min", "h"},
    {"clock", "h"},
    {"person*min", "h"},
    {"person", "people"},
    {"degF", "degC"},
    {"degF_step", "K"},
    {"date", ""},
    {"truth", ""},
    {"text", ""},
    {"EUR", "EUR"},
    {"USD/lb", "USD/kg"},
    {"EUR/ft2", "EUR/m2"},
    {"EUR/min", "EUR/h"},
    {"EUR/person/h", "EUR/h"},
    {"EUR/gal", "EUR/m3"},
    {"g/m2", "kg/m2"},
    {"g/cm3", "kg/m3"},
    {"tex", "kg/m"},
    {"bar", "Pa"},
    {"lbf", "N"},
    {"kWh", "N*m"},
    {"hp", "W"},
    {"ft/s", "m/min"},
    {"gal/min", "L/min"},
    {"Hz", "1/h"},
    {"min/ft2", "h/m2"},
    {"person*h/m2", "h/m2"},
    {"h/kg", "h/kg"},
    {"h/m", "h/m"},
    {"m2/h", "m2/h"},
    {"g/s", "kg/h"},
    {"cP", "Pa*s"},
    {"W/m/K", "W/m/K"},
    {"Btu/h/ft2/degF", "W/m2/K"},
    {"Btu/lb/degF", "J/kg/K"},
    {"cal/g", "J/kg"},
    {"kcal/mol", "J/mol"},
    {"J/mol/K", "J/mol/K"},
    {"mV", "V"},
    {"kohm", "ohm"},
    {"mA*h", "C"},
    {"in4", "m4"},
    {"lbf/in", "N/m"},
    {"GPa*mm4", "N*m2"},
    {"kg/mol", "kg/mol"},
    {"m/s2", "m/s2"},
    {"hard m/s2", "m/s2"},
    {"cd/m2", "cd/m2"},
    {"1/K", "1/K"},
    {"people/m2", "person/m2"},
};

static void test_usual(void **state)
{
    const usual_test_row *row = *state;
    mw_measure *measure = mw_measure_new();
    mw_text text = {0};
    mw_type type = type_of(measure, row->name);
    mw_unit usual = mw_unit_usual(measure, type);
    mw_unit_words(measure, usual, &text);
    assert_text(&text, row->want);
    assert_true(mw_unit_shows(measure, usual, type));
    assert_int_equal(mw_unit_usual(measure, type), usual);
    mw_measure_free(measure);
}

/* --- products -------------------------------------------------------------------------------- */

typedef struct product_row {
    const char *name;
    char operation;
    const char *a;
    const char *b; /* or the power */
    const char *want;
} product_row;

static const product_row product_rows[] = {
    {"cloth on an area", '*', "g/m2", "m2", "g"},
    {"rate times hours", '*', "EUR/h", "h", "EUR"},
    {"rate times labour", '*', "EUR/h", "person*h", "EUR"},
    {"price times mass", '*', "EUR/kg", "kg", "EUR"},
    {"price times grams", '*', "EUR/kg", "g", "EUR"},
    {"length times width", '*', "m", "m", "m2"},
    {"length times width in mm", '*', "m", "mm", "m2"},
    {"feet times metres", '*', "ft", "m", "m2"},
    {"feet times feet", '*', "ft", "ft", "ft2"},
    {"area times thickness", '*', "m2", "mm", "L"},
    {"density times volume", '*', "kg/m3", "L", "kg"},
    {"density in litres", '*', "kg/L", "L", "kg"},
    {"force times lever", '*', "N", "m", "N*m"},
    {"power times time", '*', "kW", "h", "kW*h"},
    {"people times hours", '*', "people", "h", "h"},
    {"hours over people", '/', "h", "people", "h"},
    {"labour over labour", '/', "person*h", "h", ""},
    {"percent of a mass", '*', "%", "kg", "kg"},
    {"percent of percent", '*', "%", "%", ""},
    {"percent of a number", '*', "%", "", "%"},
    {"number of percent", '/', "", "%", ""},
    {"pieces", '*', "EUR/pcs", "pcs", "EUR"},
    {"angle times radius", '*', "rad", "m", "m"},
    {"mass over area", '/', "kg", "m2", "kg/m2"},
    {"mass over volume in grams", '/', "g", "cm3", "g/cm3"},
    {"minutes over hours", '/', "min", "h", ""},
    {"one over hours", '/', "", "h", "1/h"},
    {"turns", '*', "rpm", "min", ""},
    {"money over money", '/', "EUR", "EUR", ""},
    {"degrees in a conductance", '*', "W/degC", "K", "W"},
    {"degrees left over", '/', "W", "W/degC", "K"},
    {"square", '^', "mm", "2", "mm2"},
    {"cube root", '^', "m3", "0.333333333333333333", "m"},
    {"root of litres", '^', "L", "0.333333333333333333", "L^1/3"},
    {"root", '^', "m2", "0.5", "m"},
    {"inverse", '^', "h", "-1", "1/h"},
    {"to nothing", '^', "kg", "0", ""},
    {"odd power of percent", '^', "%", "2", ""},
    {"odd power of a number", '^', "", "0.6295", ""},
};

/* What a product has as its type; powers of plain numbers may be odd. */
static mw_type product_type(mw_measure *measure, const product_row *row)
{
    mw_type out = MW_TYPE_TEXT;
    mw_type a = type_of(measure, row->a);
    mw_type_fault fault;
    if (row->operation == '^') {
        fault = mw_type_power(measure, a, strtod(row->b, NULL), &out);
    } else if (row->operation == '*') {
        fault = mw_type_multiply(measure, a, type_of(measure, row->b), &out);
    } else {
        fault = mw_type_divide(measure, a, type_of(measure, row->b), &out);
    }
    assert_int_equal(fault, MW_TYPE_FINE);
    return out;
}

static void test_product(void **state)
{
    const product_row *row = *state;
    mw_measure *measure = mw_measure_new();
    mw_type type = product_type(measure, row);
    mw_unit a = unit_of(measure, row->a);
    for (int i = 0; i < 2; i++) {
        mw_unit out = row->operation == '^' ? mw_unit_power(measure, a, strtod(row->b, NULL), type)
                      : row->operation == '*'
                          ? mw_unit_multiply(measure, a, unit_of(measure, row->b), type)
                          : mw_unit_divide(measure, a, unit_of(measure, row->b), type);
        mw_text text = {0};
        mw_unit_words(measure, out, &text);
        assert_text(&text, row->want);
        assert_true(mw_unit_shows(measure, out, type));
    }
    mw_measure_free(measure);
}

/* --- what shows what ------------------------------------------------------------------------- */

typedef struct shows_row {
    const char *name;
    const char *type;
    const char *unit;
    bool want;
} shows_row;

static const shows_row shows_rows[] = {
    {"mass in pounds", "kg", "lb", true},
    {"mass in metres", "kg", "m", false},
    {"labour in hours", "person*h", "h", true},
    {"labour in minutes", "person*h", "min", true},
    {"labour in person-hours", "person*h", "person*h", true},
    {"soft hours in person-hours", "h", "person*h", true},
    {"clock time in person-hours", "clock", "person*h", false},
    {"clock time in days", "clock", "d", true},
    {"temperature in kelvin", "degC", "K", true},
    {"temperature in millikelvin", "degC", "mK", true},
    {"temperature in degrees Rankine", "degC", "degR", true},
    {"temperature in Fahrenheit", "degC", "degF", true},
    {"temperature in steps", "degC", "degC_step", false},
    {"difference in degrees", "K", "degC", false},
    {"difference in steps", "K", "degF_step", true},
    {"number in percent", "", "%", true},
    {"date in hours", "date", "h", false},
    {"date in nothing", "date", "", true},
    {"truth in nothing", "truth", "", true},
    {"truth in metres", "truth", "m", false},
    {"people in nothing", "people", "", false},
    {"euros in dollars", "EUR", "USD", false},
};

static void test_shows(void **state)
{
    const shows_row *row = *state;
    mw_measure *measure = mw_measure_new();
    assert_int_equal(
        mw_unit_shows(measure, unit_of(measure, row->unit), type_of(measure, row->type)),
        row->want);
    mw_measure_free(measure);
}

/* Powers past the limits of units, and money of no currency, are shown as bare numbers. */
static void test_past_the_limits(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    mw_type_parts parts = {.form = MW_FORM_NUMBER};
    parts.exponent[MW_LENGTH] = 198 * MW_EXPONENT_ONE;
    mw_type high = mw_type_of(measure, &parts);
    mw_unit most = unit_of(measure, "m99");
    assert_int_equal(mw_unit_usual(measure, high), MW_UNIT_ONE);
    assert_int_equal(mw_unit_multiply(measure, most, most, high), MW_UNIT_ONE);
    assert_int_equal(mw_unit_power(measure, most, 2, high), MW_UNIT_ONE);
    parts = (mw_type_parts){.form = MW_FORM_NUMBER};
    parts.exponent[MW_MONEY] = MW_EXPONENT_ONE;
    mw_type money = mw_type_of(measure, &parts);
    assert_int_equal(mw_unit_usual(measure, money), MW_UNIT_ONE);
    /* With a shop's currency it is that. */
    assert_int_equal(mw_money_base(measure, mw_currency_find(measure, mw_str_of("EUR"))), MW_OK);
    assert_int_equal(mw_unit_usual(measure, money), unit_of(measure, "EUR"));
    mw_measure_free(measure);
}

/* No unit at all means the plain number everywhere. */
static void test_none(void **state)
{
    (void)state;
    mw_measure *measure = mw_measure_new();
    mw_text text = {0};
    assert_int_equal(mw_unit_type(measure, MW_NONE), MW_TYPE_NUMBER);
    assert_true(mw_unit_scale(measure, MW_NONE) == 1);
    assert_true(mw_unit_offset(measure, MW_NONE) == 0);
    assert_true(mw_unit_to_si(measure, MW_NONE, 7) == 7);
    assert_true(mw_unit_from_si(measure, MW_NONE, 7) == 7);
    mw_unit_words(measure, MW_NONE, &text);
    assert_text(&text, "");
    mw_unit metre = unit_of(measure, "m");
    assert_int_equal(mw_unit_multiply(measure, MW_NONE, metre, MW_TYPE_LENGTH), metre);
    assert_int_equal(mw_unit_power(measure, MW_NONE, 2, MW_TYPE_AREA), unit_of(measure, "m2"));
    mw_measure_free(measure);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "exact", exact_rows, test_exact);
    test_add_rows(&list, "equal", equal_rows, test_equal);
    test_add_rows(&list, "prefix", prefix_test_rows, test_prefix);
    test_add_rows(&list, "conversion", conversion_rows, test_conversion);
    test_add_rows(&list, "usual", usual_test_rows, test_usual);
    test_add_rows(&list, "product", product_rows, test_product);
    test_add_rows(&list, "shows", shows_rows, test_shows);
    test_add(&list, test_powers_are_exact);
    test_add(&list, test_points);
    test_add(&list, test_money_units);
    test_add(&list, test_past_the_limits);
    test_add(&list, test_none);
    return test_run(&list, "units");
}
