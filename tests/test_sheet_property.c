/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random sheets and random edits: after each of them every value has the bits that a plain
 * evaluator gives, which knows nothing of order or change; and what is refused is what closes a
 * loop. Another run compares kinds and units with those of a sheet made from scratch; a third
 * one lines loaded at once, in any order, with the same ones entered one by one.
 * SHEET_SEED=number repeats a run. */
#include <stdlib.h>
#include <time.h>

#include "sheet_fixture.h"

enum {
    LINES = 96,
    FORMULAS = 6000, /* of which edits choose */
    EDITS = 120000,
    KIND_LINES = 20,
    KIND_EDITS = 1500
};

static uint64_t random_state;

static uint32_t random_below(uint32_t limit)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 7;
    random_state ^= random_state << 17;
    return (uint32_t)((random_state >> 32) * limit >> 32);
}

static void start_random(void)
{
    const char *given = getenv("SHEET_SEED");
    random_state = given != NULL ? strtoull(given, NULL, 10) : (uint64_t)time(NULL);
    random_state = random_state == 0 ? 1 : random_state;
    print_message("SHEET_SEED=%llu\n", (unsigned long long)random_state);
}

/* ---- formulas as text, and as something a few lines of C can evaluate ---- */

typedef enum form {
    FORM_CONSTANT,
    FORM_ADD,      /* a + b */
    FORM_SCALE,    /* a * k + b */
    FORM_LESS_OF,  /* a - b * k */
    FORM_DIVIDE,   /* a / b */
    FORM_CHOICE,   /* if a > k then b else c */
    FORM_SUM,      /* sum([a, b, c]) */
    FORM_SMALLEST, /* smallest([a, b]) */
    FORM_COUNT
} form;

typedef struct formula {
    form form;
    uint32_t a, b, c; /* lines */
    double k;
    mw_span span;
} formula;

static const char *const patterns[FORM_COUNT] = {
    [FORM_CONSTANT] = "@k",
    [FORM_ADD] = "x@a + x@b",
    [FORM_SCALE] = "x@a * @k + x@b",
    [FORM_LESS_OF] = "x@a - x@b * @k",
    [FORM_DIVIDE] = "x@a / x@b",
    [FORM_CHOICE] = "if x@a > @k then x@b else x@c",
    [FORM_SUM] = "sum([x@a, x@b, x@c])",
    [FORM_SMALLEST] = "smallest([x@a, x@b])",
};

static const uint32_t form_reads[FORM_COUNT] = {0, 2, 2, 2, 2, 3, 3, 2};

/* Reads near in number are likelier, so that chains are long; a third of the lines are
 * constants. */
static uint32_t random_line(uint32_t of)
{
    const uint32_t distance = random_below(3) == 0 ? LINES : 8;
    return (of + LINES - 1 - random_below(distance)) % LINES;
}

static formula random_formula(uint32_t line)
{
    formula made = {.form = random_below(3) == 0 ? FORM_CONSTANT : (form)random_below(FORM_COUNT)};
    made.a = random_line(line);
    made.b = random_line(line);
    made.c = random_line(line);
    made.k = random_below(4) == 0 ? 0 : (random_below(2000) - 1000.0) / 1000;
    return made;
}

static void add_formula(mw_text *text, formula *made)
{
    made->span.begin = (uint32_t)text->length;
    for (const char *at = patterns[made->form]; *at != '\0'; at++) {
        if (*at != '@') {
            mw_text_addc(text, *at);
            continue;
        }
        at++;
        if (*at == 'k') {
            mw_text_addf(text, "%.3f", made->k);
        } else {
            mw_text_addf(text, "%u", *at == 'a' ? made->a : *at == 'b' ? made->b : made->c);
        }
    }
    made->span.end = (uint32_t)text->length;
    mw_text_addc(text, '\n');
}

/* ---- the plain evaluator ---- */

typedef struct plain {
    formula lines[LINES];
    double values[LINES];
    uint8_t states[LINES]; /* 0 to be done, 1 being done, 2 done */
    bool defined[LINES];
} plain;

/* Above, with what counts as equal in the language: a part in 10^12. */
static bool is_above(double a, double b)
{
    return a - b > 1e-12 * fabs(a) + 1e-12 * fabs(b);
}

static double apply(const formula *f, double a, double b, double c)
{
    switch (f->form) {
    case FORM_CONSTANT:
        return f->k;
    case FORM_ADD:
        return a + b;
    case FORM_SCALE:
        return a * f->k + b;
    case FORM_LESS_OF:
        return a - b * f->k;
    case FORM_DIVIDE:
        return a / b;
    case FORM_CHOICE:
        return isnan(a) ? a : is_above(a, f->k) ? b : c;
    case FORM_SUM:
        return a + b + c;
    case FORM_SMALLEST:
        return isnan(a) || isnan(b) ? a + b : (b < a ? b : a) + 0.0;
    case FORM_COUNT:
        break;
    }
    return nan("");
}

/* Works a line out from scratch. False: it depends on itself or on a line that is not there. */
static bool evaluate(plain *p, uint32_t line)
{
    if (!p->defined[line] || p->states[line] == 1) {
        return false;
    }
    if (p->states[line] == 2) {
        return true;
    }
    p->states[line] = 1;
    const formula *f = &p->lines[line];
    const uint32_t reads[3] = {f->a, f->b, f->c};
    double values[3] = {0, 0, 0};
    for (uint32_t i = 0; i < form_reads[f->form]; i++) {
        if (!evaluate(p, reads[i])) {
            return false;
        }
        values[i] = p->values[reads[i]];
    }
    const double value = apply(f, values[0], values[1], values[2]);
    p->values[line] = isfinite(value) ? value : nan("");
    p->states[line] = 2;
    return true;
}

static bool evaluate_all(plain *p)
{
    memset(p->states, 0, sizeof p->states);
    for (uint32_t line = 0; line < LINES; line++) {
        if (p->defined[line] && !evaluate(p, line)) {
            return false;
        }
    }
    return true;
}

/* ---- the two side by side ---- */

typedef struct pair {
    fixture f;
    plain p;
    formula *pool;
    uint32_t cells[LINES];
    uint64_t refused, followed;
} pair;

static void make_pool(pair *both)
{
    mw_text text = {0};
    both->pool = calloc(FORMULAS, sizeof *both->pool);
    for (uint32_t i = 0; i < FORMULAS; i++) {
        both->pool[i] = random_formula(i % LINES);
        add_formula(&text, &both->pool[i]);
    }
    const uint32_t source =
        mw_sources_add(both->f.sources, mw_str_of("pool"), (mw_str){text.data, text.length});
    for (uint32_t i = 0; i < FORMULAS; i++) {
        both->pool[i].span.source = source;
    }
    mw_text_free(&text);
}

static void put_formula(pair *both, mw_edit *edit, uint32_t line, const formula *f)
{
    char name[16];
    snprintf(name, sizeof name, "x%u", line);
    const mw_definition definition = {.formula = f->span, .slot = MW_NONE, .unit = MW_NONE};
    both->cells[line] = mw_edit_cell(edit, mw_str_of(name));
    mw_edit_formula(edit, both->cells[line], &definition);
    both->p.lines[line] = *f;
    both->p.defined[line] = true;
}

static const formula *random_from_pool(const pair *both, uint32_t line)
{
    return &both->pool[random_below(FORMULAS / LINES) * LINES + line];
}

static void change_lines(pair *both, mw_edit *edit)
{
    uint32_t count = random_below(8) == 0 ? 1 + random_below(5) : 1;
    for (; count > 0; count--) {
        const uint32_t line = random_below(LINES);
        if (random_below(16) == 0 && both->p.defined[line]) {
            both->p.defined[line] = false;
            mw_edit_remove(edit, both->cells[line]);
        } else {
            put_formula(both, edit, line, random_from_pool(both, line));
        }
    }
}

static void expect_same(const pair *both)
{
    for (uint32_t line = 0; line < LINES; line++) {
        if (!both->p.defined[line]) {
            continue;
        }
        const double got = mw_sheet_value(both->f.sheet, both->cells[line]);
        const double want = both->p.values[line];
        if (isnan(want) ? !isnan(got) : memcmp(&got, &want, sizeof got) != 0) {
            const formula *f = &both->p.lines[line];
            fail_msg("x%u is %.17g, not %.17g: form %u of x%u %.17g, x%u %.17g, x%u %.17g, %g",
                     line, got, want, (unsigned)f->form, f->a, both->p.values[f->a], f->b,
                     both->p.values[f->b], f->c, both->p.values[f->c], f->k);
        }
    }
}

static void edit_once(pair *both)
{
    const plain before = both->p;
    uint32_t cells[LINES];
    memcpy(cells, both->cells, sizeof cells);
    mw_edit *edit = mw_edit_begin(both->f.sheet);
    change_lines(both, edit);
    mw_diags_clear(&both->f.diags);
    const mw_status status = mw_edit_prepare(edit, &both->f.diags);
    const bool possible = evaluate_all(&both->p);
    if (status != (possible ? MW_OK : MW_FAILED)) {
        fixture_says(&both->f, "something else");
        fail_msg("status %d where the plain evaluator says %d", (int)status, possible);
    }
    if (possible && random_below(16) != 0) {
        mw_edit_commit(edit, &both->f.changes);
        both->followed += both->f.changes.computed;
    } else {
        mw_edit_cancel(edit);
        both->refused++;
        both->p = before;
        memcpy(both->cells, cells, sizeof cells);
    }
    expect_same(both);
}

static void edits_equal_from_scratch(void **state)
{
    (void)state;
    pair both = {0};
    fixture_open(&both.f);
    make_pool(&both);
    for (uint32_t i = 0; i < EDITS; i++) {
        edit_once(&both);
    }
    mw_changes changes;
    mw_sheet_recompute(both.f.sheet, &changes);
    assert_int_equal(changes.changed, 0);
    expect_same(&both);
    print_message("%u edits, %llu refused or dropped, %llu values computed\n", EDITS,
                  (unsigned long long)both.refused, (unsigned long long)both.followed);
    assert_true(both.refused > EDITS / 50);
    assert_true(both.refused < EDITS - EDITS / 10);
    free(both.pool);
    fixture_close(&both.f);
}

/* ---- kinds and units ---- */

/* @d is a digit, other letters after @ stand for earlier lines. */
static const char *const kind_patterns[] = {
    "@d kg",
    "@d m",
    "@d00 cm",
    "@d",
    "y@a",
    "y@a * y@b",
    "y@a / y@b",
    "y@a + y@b",
    "if y@a > y@b then y@c else y@a",
    "[y@a, y@b]",
    "sum(y@a) * y@b",
    "count(y@a) + 1",
    "y@a .. y@a + y@b",
    "y@a as cm",
    "@d %",
    "@d + @d %",
    "y@a + @d %",
    "y@a - @d",
    "0 + y@a",
    "1 - y@a",
    "largest(0, y@a)",
    "largest([y@a, 0, y@b])",
    "if y@a > 0 * y@a then 0 else y@b",
    "round_up(y@a, @d %)",
    "sum(0, y@a, y@b)",
    "mean([y@a, @d %])",
    "@d deg",
    "2 * y@a + y@b * @d %",
    "(3 - 2) + y@a",
};

static void random_kind_formula(uint32_t line, char *out, size_t size)
{
    const uint32_t count = sizeof kind_patterns / sizeof *kind_patterns;
    const char *at = kind_patterns[random_below(line == 0 ? 4 : count)];
    uint32_t earlier[3];
    for (int i = 0; i < 3; i++) {
        earlier[i] = line == 0 ? 0 : random_below(line);
    }
    size_t length = 0;
    for (; *at != '\0'; at++) {
        if (*at != '@') {
            out[length++] = *at;
        } else {
            at++;
            const uint32_t number = *at == 'd' ? 1 + random_below(9) : earlier[*at - 'a'];
            length += (size_t)snprintf(out + length, size - length, "%u", number);
        }
    }
    out[length] = '\0';
}

typedef struct kind_lines {
    char text[KIND_LINES][96];
} kind_lines;

/* A sheet of the same lines made at once. Returns its status. */
static mw_status load_from_scratch(fixture *f, const kind_lines *lines)
{
    fixture_open(f);
    mw_text text = {0};
    for (uint32_t i = 0; i < KIND_LINES; i++) {
        mw_text_addf(&text, "y%u = %s\n", i, lines->text[i]);
    }
    const mw_status status = fixture_try_load(f, mw_text_chars(&text));
    mw_text_free(&text);
    return status;
}

static void expect_same_kinds(const fixture *a, const fixture *b)
{
    char name[16];
    for (uint32_t i = 0; i < KIND_LINES; i++) {
        snprintf(name, sizeof name, "y%u", i);
        uint32_t count[2];
        mw_shape shape[2];
        const uint32_t cell[2] = {fixture_cell(a, name), fixture_cell(b, name)};
        const uint32_t first[2] = {mw_sheet_elements(a->sheet, cell[0], &count[0], &shape[0]),
                                   mw_sheet_elements(b->sheet, cell[1], &count[1], &shape[1])};
        assert_int_equal(count[0], count[1]);
        assert_int_equal(shape[0], shape[1]);
        mw_text words[2] = {{0}, {0}};
        mw_type_words(a->measure, mw_sheet_type(a->sheet, cell[0]), &words[0]);
        mw_unit_words(a->measure, mw_sheet_unit(a->sheet, cell[0]), &words[0]);
        mw_type_words(b->measure, mw_sheet_type(b->sheet, cell[1]), &words[1]);
        mw_unit_words(b->measure, mw_sheet_unit(b->sheet, cell[1]), &words[1]);
        assert_string_equal(mw_text_chars(&words[0]), mw_text_chars(&words[1]));
        mw_text_free(&words[0]);
        mw_text_free(&words[1]);
        for (uint32_t k = 0; k < count[0]; k++) {
            const double x = mw_sheet_value(a->sheet, first[0] + k);
            const double y = mw_sheet_value(b->sheet, first[1] + k);
            assert_true(memcmp(&x, &y, sizeof x) == 0 || (isnan(x) && isnan(y)));
        }
    }
}

static void kinds_equal_from_scratch(void **state)
{
    (void)state;
    kind_lines lines;
    for (uint32_t i = 0; i < KIND_LINES; i++) {
        snprintf(lines.text[i], sizeof lines.text[i], "%u", i + 1);
    }
    fixture f;
    assert_int_equal(load_from_scratch(&f, &lines), MW_OK);
    uint32_t accepted = 0;
    for (uint32_t i = 0; i < KIND_EDITS; i++) {
        const uint32_t line = random_below(KIND_LINES);
        const kind_lines before = lines;
        random_kind_formula(line, lines.text[line], sizeof lines.text[line]);
        char name[16];
        snprintf(name, sizeof name, "y%u", line);
        const mw_status status = fixture_try_line(&f, name, lines.text[line]);
        fixture scratch;
        const mw_status wanted = load_from_scratch(&scratch, &lines);
        if (status != wanted) {
            fixture_says(&f, "something else");
            fail_msg("%s = %s: status %d, from scratch %d", name, lines.text[line], (int)status,
                     (int)wanted);
        }
        if (status == MW_OK) {
            expect_same_kinds(&f, &scratch);
            accepted++;
        } else {
            lines = before;
        }
        fixture_close(&scratch);
    }
    print_message("%u edits, %u accepted\n", KIND_EDITS, accepted);
    assert_true(accepted > KIND_EDITS / 10);
    fixture_close(&f);
}

/* ---- loading at once against line by line ---- */

enum { LOAD_LINES = 250, LOAD_ROUNDS = 40 };

/* @a to @c are earlier lines, @n a number, @d a digit. Spellings that must not be mistaken for
 * each other. */
static const char *const load_patterns[] = {
    "@n",
    "@n m",
    "-@n m",
    "@n m2",
    "@d/@d in",
    "@n %",
    "2027-0@d-1@d",
    "@n degC",
    "x@a + x@b",
    "x@a - x@b",
    "x@a * x@b",
    "x@a / x@b",
    "x@a * @n",
    "x@a * @n m + x@b",
    "x@a * @n kg/m2 + x@b * @n",
    "x@a*@n+x@b*-@n",
    "(x@a + x@b) * (@n - x@c)",
    "x@a * @n * @n + @d",
    "@n * @n - x@a * 0",
    "-x@a * @n",
    "x@a + 1@d.@d m - x@a",
    "x@a-5-@d-1@d",
    "x@a * 1e@d",
    "x@a * @d/@d in",
    "x@a + @d",
    "x@a as m",
    "x@a ^ @d",
    "if x@a > @n then x@b else x@c",
    "sum([x@a, x@b]) * @n",
    "x@a * @n m*x@b",
    "(@n)",
    "(x@a)",
    "+x@a + x@b",
    "if x@a > @n then x@b else x@c * @n",
    "if @d > 3 then x@a else x@b",
    "if x@a <= @n and not (x@b > @d) then @n else @d",
    "sqrt(x@a * x@a + @n)",
    "sqrt(@n)",
    "smallest([x@a, @n, @d])",
    "sum([@n, @d, x@a])",
    "count([x@a, @n]) * @d + x@b * 0",
    "x@a ^ 2 + @n",
    "x@a ^2 * @n ^ @d",
    "x@a ^ (@d) + x@b",
    "x@a ^ -@d",
    "@n ^ x@a",
    "round_up(x@a, @n)",
    "round_up(x@a, @n) as km",
    "abs(x@a - @n) / @n",
    "x@a / 0",
    "x@a * 0.0 + @n",
    "x@a * 1 + 0",
    "@n .. @n",
    "x@a .. x@b .. @n",
    "largest(x@a, @n)",
};

/* Lines that name earlier ones, put into another order for the text. */
typedef struct load_lines {
    char text[LOAD_LINES][96];
    uint32_t order[LOAD_LINES];
} load_lines;

static void random_line_text(uint32_t line, char *out, size_t size)
{
    const uint32_t count = sizeof load_patterns / sizeof *load_patterns;
    const char *at = load_patterns[random_below(line == 0 ? 8 : count)];
    size_t length = 0;
    for (; *at != '\0'; at++) {
        if (*at != '@') {
            out[length++] = *at;
            continue;
        }
        at++;
        if (*at == 'n') {
            length += (size_t)snprintf(out + length, size - length, "%u.%u", random_below(30),
                                       random_below(100));
        } else {
            const uint32_t number =
                *at == 'd' ? 1 + random_below(8) : random_below(line == 0 ? 1 : line);
            length += (size_t)snprintf(out + length, size - length, "%u", number);
        }
    }
    out[length] = '\0';
}

/* Adds a line where its formula is accepted; another one is made where it is not. */
static void add_accepted(fixture *f, load_lines *lines, uint32_t line)
{
    char name[16];
    snprintf(name, sizeof name, "x%u", line);
    do {
        random_line_text(line, lines->text[line], sizeof lines->text[line]);
    } while (fixture_try_line(f, name, lines->text[line]) != MW_OK);
}

static void expect_same_line(const fixture *a, const fixture *b, const load_lines *lines,
                             uint32_t line)
{
    char name[16];
    snprintf(name, sizeof name, "x%u", line);
    const double x = fixture_value(a, name);
    const double y = fixture_value(b, name);
    const bool same =
        memcmp(&x, &y, sizeof x) == 0 || (isnan(x) && mw_error_code(x) == mw_error_code(y));
    mw_text words[2] = {{0}, {0}};
    mw_type_words(a->measure, mw_sheet_type(a->sheet, fixture_cell(a, name)), &words[0]);
    mw_unit_words(a->measure, mw_sheet_unit(a->sheet, fixture_cell(a, name)), &words[0]);
    mw_type_words(b->measure, mw_sheet_type(b->sheet, fixture_cell(b, name)), &words[1]);
    mw_unit_words(b->measure, mw_sheet_unit(b->sheet, fixture_cell(b, name)), &words[1]);
    if (!same || strcmp(mw_text_chars(&words[0]), mw_text_chars(&words[1])) != 0) {
        fail_msg("%s = %s: line by line %.17g %s, loaded %.17g %s", name, lines->text[line], x,
                 mw_text_chars(&words[0]), y, mw_text_chars(&words[1]));
    }
    mw_text_free(&words[0]);
    mw_text_free(&words[1]);
}

static void loading_equals_editing(void **state)
{
    (void)state;
    load_lines *lines = calloc(1, sizeof *lines);
    for (uint32_t round = 0; round < LOAD_ROUNDS; round++) {
        fixture slow;
        fixture_open(&slow);
        for (uint32_t i = 0; i < LOAD_LINES; i++) {
            add_accepted(&slow, lines, i);
            const uint32_t other = round % 2 == 0 ? i : random_below(i + 1);
            lines->order[i] = lines->order[other];
            lines->order[other] = i;
        }
        mw_text text = {0};
        for (uint32_t i = 0; i < LOAD_LINES; i++) {
            mw_text_addf(&text, "x%u = %s\n", lines->order[i], lines->text[lines->order[i]]);
        }
        fixture quick;
        fixture_open(&quick);
        fixture_load(&quick, mw_text_chars(&text));
        mw_text_free(&text);
        for (uint32_t i = 0; i < LOAD_LINES; i++) {
            expect_same_line(&slow, &quick, lines, i);
        }
        fixture_close(&quick);
        fixture_close(&slow);
    }
    free(lines);
}

int main(void)

{
    start_random();
    test_list list = {0};
    test_add(&list, edits_equal_from_scratch);
    test_add(&list, kinds_equal_from_scratch);
    test_add(&list, loading_equals_editing);
    return test_run(&list, "sheet property");
}
