/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Random trees: what is written reads to the same tree. The seed is printed; MOULDWRIGHT_SEED sets it and
 * MOULDWRIGHT_TREES how many trees are made. */
#include "lang_front.h"

#include <math.h>
#include <stdlib.h>

#include "mouldwright/date.h"
#include "mouldwright/memory.h"

enum { TREES = 20000, DEEPEST = 7, MOST_CHILDREN = 4 };

/* Source: Steele, Lea, Flood, Fast splittable pseudorandom number generators, 2014. */
static uint64_t random_bits(uint64_t *seed)
{
    uint64_t z = *seed += UINT64_C(0x9E3779B97F4A7C15);
    z = (z ^ z >> 30) * UINT64_C(0xBF58476D1CE4E5B9);
    z = (z ^ z >> 27) * UINT64_C(0x94D049BB133111EB);
    return z ^ z >> 31;
}

static uint32_t random_below(uint64_t *seed, uint32_t count)
{
    return (uint32_t)(random_bits(seed) >> 32) % count;
}

static uint64_t setting(const char *name, uint64_t usual)
{
    const char *text = getenv(name);
    return text == NULL ? usual : strtoull(text, NULL, 10);
}

/* --- making trees --- */

static const char *const unit_texts[] = {"kg",  "m2",    "g/m2", "EUR/h", "degC", "%",
                                         "1/h", "m^1/2", "in",   "h",     "N*m",  "m-1"};
static const char *const name_texts[] = {
    "a",    "h",  "m2", "with", "by",     "iff",  "_",   "größe",    "nothing",
    "from", "e3", "x1", "cost", "moulds", "degC", "Yes", "an_order", "usually"};
static const char *const inside_texts[] = {"",     "split carbon", "1 \\\" pipe",
                                           "\\\\", "# no, (",      "ö"};

typedef struct maker {
    front *f;
    uint64_t seed;
    mw_unit units[sizeof unit_texts / sizeof unit_texts[0]];
} maker;

static uint32_t add_node(maker *m, mw_node node)
{
    mw_ast *ast = &m->f->ast;
    void *nodes = ast->nodes;
    assert_true(mw_memory_grow32(&nodes, &ast->node_capacity, ast->node_count + 1, sizeof node));
    ast->nodes = nodes;
    ast->nodes[ast->node_count] = node;
    return ast->node_count++;
}

static uint32_t add_part(maker *m, const char *const *texts, size_t count)
{
    mw_ast *ast = &m->f->ast;
    void *parts = ast->parts;
    assert_true(mw_memory_grow32(&parts, &ast->part_capacity, ast->part_count + 1, sizeof(mw_str)));
    ast->parts = parts;
    ast->parts[ast->part_count] = mw_str_of(texts[random_below(&m->seed, (uint32_t)count)]);
    return ast->part_count++;
}

static uint32_t add_name(maker *m)
{
    return add_part(m, name_texts, sizeof name_texts / sizeof name_texts[0]);
}

static mw_unit some_unit(maker *m)
{
    return m->units[random_below(&m->seed, sizeof m->units / sizeof m->units[0])];
}

/* Short decimals, whole numbers, and any double at all. */
static double some_number(maker *m)
{
    double number;
    switch (random_below(&m->seed, 4)) {
    case 0:
        return (double)random_below(&m->seed, 1000);
    case 1:
        return (double)random_below(&m->seed, 1000000) / 1000;
    case 2:
        return -(double)random_below(&m->seed, 100) / 8;
    default:
        do {
            uint64_t bits = random_bits(&m->seed);
            memcpy(&number, &bits, sizeof number);
        } while (!isfinite(number));
        return number;
    }
}

static uint32_t make_leaf(maker *m)
{
    const double last_second = 253402300799; /* 9999-12-31T23:59:59 */
    mw_node node = {.a = MW_NONE, .b = MW_NONE, .c = MW_NONE};
    switch (random_below(&m->seed, 8)) {
    case 0:
        node.kind = MW_NODE_DATE;
        node.number = floor((double)random_bits(&m->seed) / 18446744073709551616.0 * last_second);
        break;
    case 1:
        node.kind = MW_NODE_TEXT;
        node.a = add_part(m, inside_texts, sizeof inside_texts / sizeof inside_texts[0]);
        node.count = 1;
        break;
    case 2:
        node.kind = MW_NODE_TRUTH;
        node.number = random_below(&m->seed, 2);
        break;
    case 3:
        node.kind = MW_NODE_USUAL;
        break;
    case 4:
    case 5:
        node.kind = MW_NODE_PATH;
        node.count = (uint16_t)(1 + random_below(&m->seed, 3));
        for (uint32_t i = 0; i < node.count; i++) {
            uint32_t part = add_name(m);
            node.a = i == 0 ? part : node.a;
        }
        break;
    default:
        node.kind = MW_NODE_NUMBER;
        node.number = some_number(m);
        node.unit = random_below(&m->seed, 2) == 0 ? some_unit(m) : MW_UNIT_ONE;
    }
    return add_node(m, node);
}

static uint32_t make_tree(maker *m, int deepest);

static uint32_t make_children(maker *m, uint32_t count, int deepest)
{
    uint32_t children[MOST_CHILDREN];
    for (uint32_t i = 0; i < count; i++) {
        children[i] = make_tree(m, deepest);
    }
    mw_ast *ast = &m->f->ast;
    void *links = ast->links;
    assert_true(mw_memory_grow32(&links, &ast->link_capacity, ast->link_count + MOST_CHILDREN,
                                 sizeof *ast->links));
    ast->links = links;
    uint32_t first = ast->link_count;
    for (uint32_t i = 0; i < count; i++) {
        ast->links[ast->link_count++] = children[i];
    }
    return first;
}

/* A unit behind the last value would serve the others too, so none of them goes without. */
static void give_units(maker *m, const mw_node *range)
{
    mw_node *nodes = m->f->ast.nodes;
    const mw_node *high = &nodes[range->c];
    const uint32_t others[] = {range->a, range->b};
    for (int i = 0; i < 2; i++) {
        mw_node *other = others[i] == MW_NONE ? NULL : &nodes[others[i]];
        if (other != NULL && other->kind == MW_NODE_NUMBER && high->kind == MW_NODE_NUMBER &&
            other->unit == MW_UNIT_ONE) {
            other->unit = high->unit;
        }
    }
}

static uint32_t make_tree(maker *m, int deepest)
{
    mw_node node = {.a = MW_NONE, .b = MW_NONE, .c = MW_NONE};
    if (deepest == 0 || random_below(&m->seed, 6) == 0) {
        return make_leaf(m);
    }
    static const uint8_t kinds[] = {MW_NODE_LIST,   MW_NODE_RANGE,  MW_NODE_NEGATE, MW_NODE_NOT,
                                    MW_NODE_IF,     MW_NODE_CALL,   MW_NODE_AS,     MW_NODE_BINARY,
                                    MW_NODE_BINARY, MW_NODE_BINARY, MW_NODE_BINARY, MW_NODE_BINARY};
    node.kind = kinds[random_below(&m->seed, sizeof kinds)];
    if (node.kind == MW_NODE_LIST || node.kind == MW_NODE_CALL) {
        node.count = (uint16_t)random_below(&m->seed, MOST_CHILDREN + 1);
        node.a = make_children(m, node.count, deepest - 1);
        node.b = node.kind == MW_NODE_CALL ? add_name(m) : MW_NONE;
        return add_node(m, node);
    }
    node.a = make_tree(m, deepest - 1);
    if (node.kind == MW_NODE_AS) {
        node.unit = some_unit(m);
    } else if (node.kind == MW_NODE_BINARY) {
        node.op = (uint8_t)random_below(&m->seed, MW_OPERATOR_COUNT);
        node.b = make_tree(m, deepest - 1);
    } else if (node.kind == MW_NODE_IF || node.kind == MW_NODE_RANGE) {
        bool two = node.kind == MW_NODE_RANGE && random_below(&m->seed, 2) == 0;
        node.b = two ? MW_NONE : make_tree(m, deepest - 1);
        node.c = make_tree(m, deepest - 1);
    }
    if (node.kind == MW_NODE_RANGE) {
        give_units(m, &node);
    }
    return add_node(m, node);
}

/* --- comparing --- */

static bool same_parts(const mw_ast *a, uint32_t first_a, const mw_ast *b, uint32_t first_b,
                       uint32_t count)
{
    for (uint32_t i = 0; i < count; i++) {
        if (!mw_str_equal(a->parts[first_a + i], b->parts[first_b + i])) {
            return false;
        }
    }
    return true;
}

static bool same_tree(const mw_ast *a, uint32_t root_a, const mw_ast *b, uint32_t root_b)
{
    if (root_a == MW_NONE || root_b == MW_NONE) {
        return root_a == root_b;
    }
    const mw_node *x = &a->nodes[root_a];
    const mw_node *y = &b->nodes[root_b];
    if (x->kind != y->kind || x->op != y->op || x->count != y->count || x->unit != y->unit ||
        memcmp(&x->number, &y->number, sizeof x->number) != 0) {
        return false;
    }
    if (x->kind == MW_NODE_PATH || x->kind == MW_NODE_TEXT) {
        return same_parts(a, x->a, b, y->a, x->count);
    }
    if (x->kind == MW_NODE_LIST || x->kind == MW_NODE_CALL) {
        bool same = x->kind == MW_NODE_LIST || same_parts(a, x->b, b, y->b, 1);
        for (uint32_t i = 0; i < x->count && same; i++) {
            same = same_tree(a, a->links[x->a + i], b, b->links[y->a + i]);
        }
        return same;
    }
    return same_tree(a, x->a, b, y->a) && same_tree(a, x->b, b, y->b) &&
           same_tree(a, x->c, b, y->c);
}

/* Writes the tree, reads it, compares; says what was written where they differ. */
static void check_tree(maker *m, uint32_t root)
{
    front *f = m->f;
    mw_text written = {0};
    mw_ast_words(&f->ast, f->measure, root, &written);
    uint32_t source =
        mw_sources_add(f->sources, mw_str_of("written"), (mw_str){written.data, written.length});
    mw_ast read = {0};
    mw_reader reader = {&read, f->measure, f->sources, &f->diags};
    uint32_t again = MW_NONE;
    mw_span span = {source, 0, (uint32_t)written.length};
    mw_status status = mw_parse_formula(&reader, span, &again);
    if (status != MW_OK || !same_tree(&f->ast, root, &read, again)) {
        fail_msg("%s: %s", front_messages(f), mw_text_chars(&written));
    }
    /* And what was read is written alike. */
    mw_text second = {0};
    mw_ast_words(&read, f->measure, again, &second);
    assert_string_equal(mw_text_chars(&second), mw_text_chars(&written));
    mw_text_free(&second);
    mw_text_free(&written);
    mw_ast_free(&read);
    mw_sources_drop_last(f->sources, source);
}

static void written_reads_the_same(void **state)
{
    (void)state;
    front f;
    front_open(&f, mw_str_of("-"));
    maker m = {.f = &f, .seed = setting("MOULDWRIGHT_SEED", 20270311)};
    uint64_t trees = setting("MOULDWRIGHT_TREES", TREES);
    print_message("seed %llu, %llu trees\n", (unsigned long long)m.seed, (unsigned long long)trees);
    for (size_t i = 0; i < sizeof unit_texts / sizeof unit_texts[0]; i++) {
        size_t used = 0;
        assert_int_equal(mw_unit_read(f.measure, mw_str_of(unit_texts[i]), &used, &m.units[i]),
                         MW_OK);
    }
    for (uint64_t i = 0; i < trees; i++) {
        mw_ast_clear(&f.ast);
        check_tree(&m, make_tree(&m, (int)random_below(&m.seed, DEEPEST + 1)));
    }
    front_close(&f);
}

/* --- numbers --- */

static void add_digits(maker *m, char *text, uint32_t most)
{
    uint32_t count = 1 + random_below(&m->seed, most);
    size_t length = strlen(text);
    for (uint32_t i = 0; i < count; i++) {
        text[length++] = (char)('0' + random_below(&m->seed, 10));
    }
    text[length] = '\0';
}

/* Figures of up to 40 digits are read as the C library reads them. */
static void numbers_are_rounded_once(void **state)
{
    (void)state;
    maker m = {.seed = setting("MOULDWRIGHT_SEED", 20270311)};
    for (int i = 0; i < 5000; i++) {
        char figure[80] = "";
        add_digits(&m, figure, i % 2 == 0 ? 3 : 20);
        if (random_below(&m.seed, 4) > 0) {
            strcat(figure, ".");
            add_digits(&m, figure, 20);
        }
        if (random_below(&m.seed, 4) == 0) {
            strcat(figure, random_below(&m.seed, 2) == 0 ? "e" : "E-");
            add_digits(&m, figure, 2);
        }
        front f;
        front_open(&f, mw_str_of(figure));
        uint32_t root = MW_NONE;
        assert_int_equal(mw_parse_formula(&f.reader, front_whole(&f), &root), MW_OK);
        double want = strtod(figure, NULL);
        if (memcmp(&f.ast.nodes[root].number, &want, sizeof want) != 0) {
            fail_msg("%s is read as %.17g", figure, f.ast.nodes[root].number);
        }
        front_close(&f);
    }
}

/* --- the smallest text --- */

typedef struct words_row {
    const char *name;
    const char *text;
    const char *want;
} words_row;

/* Only brackets that are needed, and one form of blanks. */
static const words_row words_rows[] = {
    {"no brackets round a product", "(2*3)+4", "2 * 3 + 4"},
    {"brackets round a sum", "(2+3)*4", "(2 + 3) * 4"},
    {"to the left without", "(1-2)-3", "1 - 2 - 3"},
    {"to the right with", "1-(2-3)", "1 - (2 - 3)"},
    {"power to the right without", "2^(3^2)", "2^3^2"},
    {"power to the left with", "(2^3)^2", "(2^3)^2"},
    {"power of a unit", "(2 m)^2", "(2 m)^2"},
    {"power of a negative number", "(-2)^2", "(-2)^2"},
    {"power of a negative exponent", "2^(-1)", "2^-1"},
    {"sign of a bracketed number", "-(5)", "-(5)"},
    {"sign of a sum", "-(a+b)", "-(a + b)"},
    {"and in or", "(a and b) or c", "a and b or c"},
    {"or in and", "a and (b or c)", "a and (b or c)"},
    {"not of an and", "not (a and b)", "not (a and b)"},
    {"not of a comparison", "not (a<b)", "not a < b"},
    {"comparison of comparisons", "(a<b)=(c<d)", "(a < b) = (c < d)"},
    {"as of a sum", "(a+b) as kg", "a + b as kg"},
    {"as in a sum", "(a as kg)+b", "(a as kg) + b"},
    {"as of a choice", "(if a then b else c) as kg", "if a then b else c as kg"},
    {"as inside a choice", "if a then b else (c as kg)", "if a then b else (c as kg)"},
    {"choice in a sum", "1+if a then b else c", "1 + (if a then b else c)"},
    {"else if", "if a then b else (if c then d else e)", "if a then b else if c then d else e"},
    {"range", "(a+1)..(b)", "a + 1 .. b"},
    {"range in a product", "(1..2 h)*3", "(1 h .. 2 h) * 3"},
    {"list", "[1,(2),3+4]", "[1, 2, 3 + 4]"},
    {"call", "f( a,g() )", "f(a, g())"},
    {"unit as it is kept", "4m^2+8%", "4 m2 + 8 %"},
    {"fraction", "1/2 in", "0.5 in"},
    {"sixteen digits", "0.30000000000000004", "0.30000000000000004"},
    {"date", "2027-03-11T00:00", "2027-03-11"},
};

static void writes_short(void **state)
{
    const words_row *row = *state;
    front f;
    front_open(&f, mw_str_of(row->text));
    uint32_t root = MW_NONE;
    assert_int_equal(mw_parse_formula(&f.reader, front_whole(&f), &root), MW_OK);
    mw_text_clear(&f.out);
    mw_ast_words(&f.ast, f.measure, root, &f.out);
    assert_string_equal(mw_text_chars(&f.out), row->want);
    front_close(&f);
}

int main(void)
{
    test_list list = {0};
    test_add(&list, written_reads_the_same);
    test_add(&list, numbers_are_rounded_once);
    test_add_rows(&list, "words", words_rows, writes_short);
    return test_run(&list, "lang_parse_random");
}
