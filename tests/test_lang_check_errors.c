/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is said of formulas that are wrong: code, wording, the place under the mark, the other
 * place, and what to try. */
#include "lang_fixture.h"

typedef struct row {
    const char *formula; /* also the name of the test */
    const char *code;
    const char *marked; /* the piece under the mark ... */
    int column;         /* ... and where it begins, from 1 */
    const char *message;
    const char *other;  /* the piece that is the other place; NULL: none */
    const char *advice; /* NULL: that of the code */
} row;

static const row rows[] = {
    /* kinds that do not go together */
    {"4 m2 + 3 kg", "kind-mismatch", "3 kg", 8,
     "3 kg is a mass; 4 m2 is an area: they cannot be added", "4 m2", NULL},
    {"58 EUR/h + 3 kg", "kind-mismatch", "3 kg", 12,
     "3 kg is a mass; 58 EUR/h is money per time (EUR): they cannot be added", "58 EUR/h", NULL},
    {"area - glass", "kind-mismatch", "glass", 8,
     "glass is a mass; area is an area: they cannot be subtracted", "area", NULL},
    {"edge + area * 2", "kind-mismatch", "area * 2", 8,
     "area * 2 is an area; edge is a length: they cannot be added", "edge", NULL},
    {"(area + 1 m2) * 2 + edge", "kind-mismatch", "edge", 21,
     "edge is a length; (area + 1 m2) * 2 is an area: they cannot be added", "(area + 1 m2) * 2",
     NULL},
    {"area + 3", "kind-mismatch", "3", 8,
     "3 is a plain number; area is an area: they cannot be added", "area",
     "give the number a unit: 3 m2"},
    {"0 + glass", "kind-mismatch", "glass", 5,
     "glass is a mass; 0 is a plain number: they cannot be added", "0",
     "give the number a unit: 0 kg"},
    {"area < edge", "kind-mismatch", "edge", 8,
     "edge is a length; area is an area: they cannot be compared", "area", NULL},
    {"fibre = 4", "kind-mismatch", "4", 9,
     "4 is a plain number; fibre is a text: they cannot be compared", "fibre", NULL},
    {"wet = 1", "kind-mismatch", "1", 7,
     "1 is a plain number; wet is yes or no: they cannot be compared", "wet", NULL},
    {"if wet then area else glass", "kind-mismatch", "glass", 23,
     "glass is a mass; area is an area: they cannot be results of one `if`", "area", NULL},
    {"if wet then area else 0", "kind-mismatch", "0", 23,
     "0 is a plain number; area is an area: they cannot be results of one `if`", "area",
     "give the number a unit: 0 m2"},
    {"[1 m, 2 kg]", "kind-mismatch", "2 kg", 7,
     "2 kg is a mass; 1 m is a length: they cannot be put into one list", "1 m", NULL},
    {"1 m .. 2 kg", "kind-mismatch", "2 kg", 8,
     "2 kg is a mass; 1 m is a length: they cannot be put into one range", "1 m", NULL},
    {"6 h .. 8 .. 12", "kind-mismatch", "8", 8,
     "8 is a plain number; 6 h is a time: they cannot be put into one range", "6 h",
     "give the number a unit: 8 h"},
    {"moulds.area + glass", "kind-mismatch", "glass", 15,
     "glass is a mass; each of moulds.area is an area: they cannot be added", "moulds.area", NULL},
    {"sum(area, glass)", "kind-mismatch", "glass", 11,
     "glass is a mass; area is an area: they cannot be added", "area", NULL},
    {"largest(area, glass)", "kind-mismatch", "glass", 15,
     "glass is a mass; area is an area: they cannot be compared", "area", NULL},
    {"round_up(glass, 1)", "kind-mismatch", "1", 17,
     "1 is a plain number; glass is a mass: they cannot be used together: the step is of the kind of "
     "x",
     "glass", "give the number a unit: 1 kg"},
    {"work + cure", "kind-mismatch", "cure", 8,
     "cure is clock time; work is labour: they cannot be added", "work", NULL},
    {"room + 5 m", "kind-mismatch", "5 m", 8,
     "5 m is a length; room is a temperature: they cannot be added", "room", NULL},
    {"ready + 3 kg", "kind-mismatch", "3 kg", 9,
     "3 kg is a mass; ready is a date: they cannot be added", "ready", NULL},
    {"sum(moulds.area * moulds.plies, pair.glass)", "kind-mismatch", "pair.glass", 33,
     "each of pair.glass is a mass; each of moulds.area * moulds.plies is an area: they cannot be "
     "added",
     "moulds.area * moulds.plies", NULL},
    /* points */
    {"20 degC + 20 degC", "point-add", "20 degC", 11,
     "20 degC is a temperature; 20 degC is a temperature: they cannot be added", "20 degC",
     "write the difference in K: 20 degC + 5 K"},
    {"room + 5 degC", "point-add", "5 degC", 8,
     "5 degC is a temperature; room is a temperature: they cannot be added", "room",
     "write the difference in K: 20 degC + 5 K"},
    {"ready + 2027-01-11", "point-add", "2027-01-11", 9,
     "2027-01-11 is a date; ready is a date: they cannot be added", "ready",
     "add a time: 2027-01-11 + 3 d"},
    {"rise - room", "kind-mismatch", "room", 8,
     "room is a temperature; rise is a temperature difference: they cannot be subtracted", "rise",
     NULL},
    {"room < rise", "kind-mismatch", "rise", 8,
     "rise is a temperature difference; room is a temperature: they cannot be compared", "room",
     NULL},
    {"room * 2", "wrong-kind", "room", 1, "room is a temperature: it cannot be multiplied", NULL,
     "take a difference: 20 degC - 0 degC, or write it in K"},
    {"2 * room", "wrong-kind", "room", 5, "room is a temperature: it cannot be multiplied", NULL,
     NULL},
    {"ready / 2", "wrong-kind", "ready", 1, "ready is a date: it cannot be divided", NULL,
     "take the time between two dates: 2027-03-11 - 2027-01-11"},
    {"room^2", "wrong-kind", "room", 1, "room is a temperature: it cannot be raised to a power",
     NULL, NULL},
    {"-room", "wrong-kind", "room", 2, "room is a temperature: it cannot be made negative", NULL,
     NULL},
    {"abs(room)", "wrong-kind", "room", 5,
     "room is a temperature: it cannot be taken without its sign", NULL, NULL},
    {"sqrt(room)", "wrong-kind", "room", 6, "room is a temperature: it cannot be put under a root",
     NULL, NULL},
    {"sum(room, rise)", "wrong-kind", "room", 5, "room is a temperature: it cannot be added", NULL,
     NULL},
    {"round_up(ready, ready)", "wrong-kind", "ready", 10, "ready is a date: it cannot be rounded",
     NULL, NULL},
    /* currencies */
    {"fee + 5 USD", "no-rate", "5 USD", 7,
     "5 USD is money (USD); fee is money (EUR); there is no exchange rate between them", "fee",
     NULL},
    {"fee * 5 USD", "no-rate", "5 USD", 7,
     "5 USD is money (USD); fee is money (EUR); there is no exchange rate between them", "fee",
     NULL},
    {"fee > 5 USD", "no-rate", "5 USD", 7,
     "5 USD is money (USD); fee is money (EUR); there is no exchange rate between them", "fee",
     NULL},
    {"fee as USD", "no-rate", "as USD", 5,
     "fee is money (EUR); USD is a unit of money (USD); there is no exchange rate between them",
     "fee", NULL},
    /* powers */
    {"area^plies", "bad-power", "plies", 6,
     "area is an area; its power must be a fixed number, not plies", "area", NULL},
    {"area^(1/7)", "bad-power", "(1/7)", 6, "area is an area; to the power 1 / 7 it has no unit",
     "area", NULL},
    {"area^(1/0)", "bad-power", "(1/0)", 6,
     "area is an area; its power must be a fixed number, not 1 / 0", "area", NULL},
    {"2^area", "wrong-kind", "area", 3, "area is an area; a power is a plain number", NULL, NULL},
    {"area^wet", "wrong-kind", "wet", 6, "wet is yes or no; a quantity is expected here", NULL,
     "make a number of it: if ... then 1 else 0"},
    {"area^[1, 2]", "bad-power", "[1, 2]", 6,
     "area is an area; its power must be a fixed number, not [1, 2]", "area", NULL},
    /* truths, texts, numbers */
    {"yes + 1", "wrong-kind", "yes", 1, "yes is yes or no; a quantity is expected here", NULL,
     "make a number of it: if ... then 1 else 0"},
    {"1 + fibre", "wrong-kind", "fibre", 5, "fibre is a text; a quantity is expected here", NULL,
     "only = and <> work on texts"},
    {"-wet", "wrong-kind", "wet", 2, "wet is yes or no; a quantity is expected here", NULL, NULL},
    {"fibre as m", "wrong-kind", "fibre", 1, "fibre is a text; a quantity is expected here", NULL,
     NULL},
    {"not plies", "wrong-kind", "plies", 5, "plies is a plain number; `not` needs yes or no", NULL,
     "compare it, as in: plies > 4"},
    {"wet and plies", "wrong-kind", "plies", 9, "plies is a plain number; `and` needs yes or no",
     NULL, "compare it, as in: plies > 4"},
    {"area or wet", "wrong-kind", "area", 1, "area is an area; `or` needs yes or no", NULL, NULL},
    {"if plies then 1 else 2", "wrong-kind", "plies", 4,
     "plies is a plain number; `if` needs yes or no", NULL, NULL},
    {"if fibre then 1 else 2", "wrong-kind", "fibre", 4, "fibre is a text; `if` needs yes or no",
     NULL, NULL},
    {"wet < dry", "wrong-kind", "wet", 1, "wet is yes or no; it has no order", NULL,
     "compare it with = or <>"},
    {"\"a\" >= \"b\"", "wrong-kind", "\"a\"", 1, "\"a\" is a text; it has no order", NULL,
     "compare it with = or <>"},
    {"sum(moulds.wet)", "wrong-kind", "moulds.wet", 5,
     "each of moulds.wet is yes or no; a quantity is expected here", NULL, NULL},
    {"mean(fibre)", "wrong-kind", "fibre", 6, "fibre is a text; a quantity is expected here", NULL,
     NULL},
    {"sqrt(wet)", "wrong-kind", "wet", 6, "wet is yes or no; a quantity is expected here", NULL,
     NULL},
    {"round_up(fibre, 1)", "wrong-kind", "fibre", 10,
     "fibre is a text; a quantity is expected here", NULL, NULL},
    {"yes .. no", "wrong-kind", "yes", 1, "yes is yes or no; a quantity is expected here", NULL,
     NULL},
    /* functions */
    {"ln(glass)", "wrong-kind", "glass", 4, "glass is a mass; ln needs a plain number", NULL,
     "divide by a unit first, as in length / 1 m"},
    {"sin(edge)", "wrong-kind", "edge", 5, "edge is a length; sin needs a plain number", NULL,
     NULL},
    {"exp(moulds.area)", "wrong-kind", "moulds.area", 5,
     "each of moulds.area is an area; exp needs a plain number", NULL, NULL},
    {"week(plies)", "wrong-kind", "plies", 6, "plies is a plain number; date of week is a date",
     NULL, NULL},
    {"year(cure)", "wrong-kind", "cure", 6, "cure is clock time; date of year is a date", NULL,
     NULL},
    {"count(plies)", "not-a-list", "plies", 7, "plies is a plain number; count needs a list", NULL,
     NULL},
    {"round_up(3)", "argument-count", "round_up", 1, "round_up takes 2 values, not 1", NULL,
     "round_up(x, step)"},
    {"2 + sqrt()", "argument-count", "sqrt", 5, "sqrt takes 1 value, not 0", NULL, "sqrt(x)"},
    {"sqrt(1, 2)", "argument-count", "sqrt", 1, "sqrt takes 1 value, not 2", NULL, "sqrt(x)"},
    {"sum()", "argument-count", "sum", 1, "sum takes at least 1 value, not 0", NULL,
     "sum(values, ...)"},
    {"week()", "argument-count", "week", 1, "week takes 1 value, not 0", NULL, "week(date)"},
    {"lagrest(1, 2)", "unknown-function", "lagrest", 1, "there is no function lagrest", NULL,
     "did you mean largest?"},
    {"1 + roundup(1, 2)", "unknown-function", "roundup", 5, "there is no function roundup", NULL,
     "did you mean round_up?"},
    {"max(1, 2)", "unknown-function", "max", 1, "there is no function max", NULL,
     "here it is largest"},
    {"xyzzy(1)", "unknown-function", "xyzzy", 1, "there is no function xyzzy", NULL, NULL},
    /* names */
    {"plys + 1", "unknown-name", "plys", 1, "there is no plys here", NULL, "did you mean plies?"},
    {"area + hull_port.heavy.plies", "unknown-name", "hull_port.heavy.plies", 8,
     "there is no hull_port.heavy.plies here", NULL, NULL},
    {"m2 + 3", "unknown-name", "m2", 1, "there is no m2 here", NULL,
     "m2 is a unit: write it behind a number, as in 3 m2"},
    {"area * EUR", "unknown-name", "EUR", 8, "there is no EUR here", NULL,
     "EUR is a unit: write it behind a number, as in 3 EUR"},
    {"sum + 3", "unknown-name", "sum", 1, "there is no sum here", NULL,
     "sum is a function: write sum(...)"},
    {"usual * 2", "no-usual", "usual", 1, "there is no usual value here", NULL, NULL},
    /* conversions */
    {"glass as m2", "wrong-kind", "as m2", 7, "glass is a mass; m2 is a unit of an area", "glass",
     NULL},
    {"(20 degC - 15 degC) as degC", "wrong-kind", "as degC", 21,
     "20 degC - 15 degC is a temperature difference; degC is a unit of a temperature",
     "(20 degC - 15 degC)", "show a difference of temperatures in K: as K"},
    {"plies as kg", "wrong-kind", "as kg", 7, "plies is a plain number; kg is a unit of a mass",
     "plies", NULL},
    {"ready as d", "wrong-kind", "as d", 7, "ready is a date; d is a unit of a time", "ready",
     NULL},
    /* lists */
    {"[1, [2, 3]]", "is-a-list", "[2, 3]", 5, "[2, 3] is a list; a list holds single values", NULL,
     NULL},
    {"[moulds.area, 1 m2]", "is-a-list", "moulds.area", 2,
     "moulds.area is a list; a list holds single values", NULL, NULL},
    {"1 m2 .. moulds.area", "is-a-list", "moulds.area", 9,
     "moulds.area is a list; a range holds single values", NULL, NULL},
    {"moulds.area + [1 m2, 2 m2]", "list-lengths", "[1 m2, 2 m2]", 15,
     "[1 m2, 2 m2] has 2 values, moulds.area has 3", "moulds.area", NULL},
    {"if moulds.wet then [1, 2] else 3", "list-lengths", "[1, 2]", 20,
     "[1, 2] has 2 values, moulds.wet has 3", "moulds.wet", NULL},
    {"round_up(moulds.plies, [1, 2])", "list-lengths", "[1, 2]", 24,
     "[1, 2] has 2 values, moulds.plies has 3", "moulds.plies", NULL},
    {"none + moulds.area", "list-lengths", "moulds.area", 8, "moulds.area has 3 values, none has 0",
     "none", NULL},
    /* ranges */
    {"9 .. 5 h", "out-of-range", "9 .. 5 h", 1,
     "9 h .. 5 h goes down: a range rises from low over likely to high", NULL, NULL},
    {"1 .. 3 .. 2", "out-of-range", "1 .. 3 .. 2", 1,
     "1 .. 3 .. 2 goes down: a range rises from low over likely to high", NULL, NULL},
    {"(2 .. 1 .. 3) * 4", "out-of-range", "(2 .. 1 .. 3)", 1,
     "2 .. 1 .. 3 goes down: a range rises from low over likely to high", NULL, NULL},
    /* long pieces are cut at a whole character */
    {"moulds.area * moulds.plies * 1.0625 * 2.125 + glass", "kind-mismatch", "glass", 47,
     "glass is a mass; each of moulds.area * moulds.plies * 1.0625 *... is an area: they cannot be "
     "added",
     "moulds.area * moulds.plies * 1.0625 * 2.125", NULL},
    {"\"åäöåäöåäöåäöåäöåäöåäöåäöåäöåäöåäöåäöåäöåäö\" + 1", "wrong-kind", NULL, 1,
     "\"åäöåäöåäöåäöåäöåäöåäöåäöåäöåäöåäöåäö... is a text; a quantity is expected here", NULL,
     NULL},
};

static const char *piece(lang_fixture *world, mw_span span)
{
    const mw_str text = mw_sources_piece(world->sources, span);
    mw_text_clear(&world->text);
    mw_text_add_str(&world->text, text);
    return mw_text_chars(&world->text);
}

static void compare_diag(lang_fixture *world, const mw_diag *diag, const row *wanted)
{
    assert_string_equal(mw_code_word(diag->code), wanted->code);
    assert_string_equal(diag->message, wanted->message);
    if (wanted->marked != NULL) {
        assert_string_equal(piece(world, diag->span), wanted->marked);
    }
    assert_int_equal(diag->span.begin + 1, wanted->column);
    if (wanted->other == NULL) {
        assert_int_equal(diag->other.source, MW_NONE);
    } else {
        assert_string_equal(piece(world, diag->other), wanted->other);
    }
    if (wanted->advice != NULL) {
        assert_non_null(diag->advice);
        assert_string_equal(diag->advice, wanted->advice);
    }
}

static void check_row(void **state)
{
    const row *wanted = *state;
    lang_fixture world;
    lang_start(&world);
    assert_int_equal(lang_check(&world, wanted->formula, NULL), MW_FAILED);
    assert_int_equal(world.diags.errors, 1);
    compare_diag(&world, &world.diags.items[0], wanted);
    lang_stop(&world);
}

typedef struct slot_row {
    const char *formula;
    const char *slot;
    const char *code;
    const char *message;
    const char *advice;
} slot_row;

static const slot_row slot_rows[] = {
    {"area", "kg", "wrong-kind", "area is an area; a mass is expected here", NULL},
    {"3", "kg", "wrong-kind", "3 is a plain number; a mass is expected here",
     "give it a unit, such as kg"},
    {"work", "time", "wrong-kind", "work is labour; clock time is expected here", NULL},
    {"cure", "labour", "wrong-kind", "cure is clock time; labour is expected here", NULL},
    {"room", "K", "wrong-kind", "room is a temperature; a temperature difference is expected here",
     NULL},
    {"rise", "degC", "wrong-kind",
     "rise is a temperature difference; a temperature is expected here", NULL},
    {"cure", "date", "wrong-kind", "cure is clock time; a date is expected here", NULL},
    {"1", "truth", "wrong-kind", "1 is a plain number; yes or no is expected here", NULL},
    {"wet", "", "wrong-kind", "wet is yes or no; a plain number is expected here", NULL},
    {"5 USD", "EUR/h", "wrong-kind", "5 USD is money (USD); money per time (EUR) is expected here",
     NULL},
    {"5 USD/h", "EUR/h", "no-rate",
     "5 USD/h is money per time (USD); money per time (EUR) is expected here", NULL},
    {"moulds.area", "kg", "wrong-kind", "each of moulds.area is an area; a mass is expected here",
     NULL},
};

static void check_slot(void **state)
{
    const slot_row *wanted = *state;
    lang_fixture world;
    lang_start(&world);
    assert_int_equal(lang_check(&world, wanted->formula, wanted->slot), MW_FAILED);
    const row diag = {wanted->formula, wanted->code, wanted->formula, 1,
                      wanted->message, NULL,         wanted->advice};
    assert_int_equal(world.diags.errors, 1);
    compare_diag(&world, &world.diags.items[0], &diag);
    lang_stop(&world);
}

/* Independent faults are all reported, from left to right; what follows from one is not. */
typedef struct several_row {
    const char *formula;
    const char *marked[4];
} several_row;

static const several_row several_rows[] = {
    {"(4 m2 + 3 kg) * (2 + nowhere)", {"3 kg", "nowhere"}},
    {"nowhere + elsewhere * 2", {"nowhere", "elsewhere"}},
    {"[1 + yes, 2 m + 3 kg, not 4]", {"yes", "3 kg", "4"}},
    {"(4 m2 + 3 kg) + 1 s", {"3 kg"}},
    {"-(4 m2 + 3 kg)", {"3 kg"}},
    {"if 1 + yes then 2 kg else 3", {"yes"}},
    {"sqrt(nowhere) + ln(area)", {"nowhere", "area"}},
    {"sum(nowhere, 2 m, 3 kg)", {"nowhere"}},
    {"count(nowhere)", {"nowhere"}},
    {"nowhere as kg", {"nowhere"}},
    {"week(nowhere, 2)", {"nowhere", "week"}},
    {"week(nowhere)", {"nowhere"}},
    {"nowhere .. 3", {"nowhere"}},
    {"plies and wet or 3", {"plies"}},
    {"yes * no", {"yes", "no"}},
};

static void check_several(void **state)
{
    const several_row *wanted = *state;
    lang_fixture world;
    lang_start(&world);
    assert_int_equal(lang_check(&world, wanted->formula, NULL), MW_FAILED);
    size_t count = 0;
    for (; count < 4 && wanted->marked[count] != NULL; count++) {
        assert_true(count < world.diags.count);
        assert_string_equal(piece(&world, world.diags.items[count].span), wanted->marked[count]);
    }
    assert_int_equal(world.diags.errors, count);
    lang_stop(&world);
}

int main(void)
{
    test_list tests = {0};
    test_add_rows(&tests, "error", rows, check_row);
    test_add_rows(&tests, "slot", slot_rows, check_slot);
    test_add_rows(&tests, "several", several_rows, check_several);
    return test_run(&tests, "lang_check_errors");
}
