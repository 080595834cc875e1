/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Printed parts add up to the printed total, in every table of every report, for generated jobs;
 * money to the minor unit; and the JSON of every report is well-formed, adds up, and has the
 * totals of the screen. What is printed is read back as a reader would: by what stands under one
 * another. The seed is printed; MW_SEED sets another. */
#include "job_bench.h"
#include "report_json.h"

#include <math.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"
#include "mouldwright/report.h"

/* ---- reports of a job ---- */

static mw_status ask(job_bench *bench, const char *words, mw_style style, mw_text *out)
{
    const char *blank = strchr(words, ' ');
    size_t length = blank ? (size_t)(blank - words) : strlen(words);
    mw_request request = {.word = {words, length},
                          .argument = mw_str_of(blank ? blank + 1 : ""),
                          .argument_at = {.source = MW_NONE},
                          .style = &style};
    bench_clear(bench);
    mw_text_clear(out);
    return mw_report(bench->job, &request, out, &bench->diags);
}

static void ask_well(job_bench *bench, const char *words, mw_style style, mw_text *out)
{
    if (ask(bench, words, style, out) != MW_OK) {
        fail_msg("`%s` failed: %s", words,
                 bench->diags.count ? bench->diags.items[0].message : "no message");
    }
}

/* ---- what stands in a table ---- */

/* A piece of a line between blanks of two and more. */
typedef struct cell {
    const char *at;
    size_t length, end; /* `end`: the column behind it */
    bool number;
    int64_t units; /* of its last decimal */
    int decimals;
} cell;

#define CELLS_MAX 16

/* `-1 618.66`, `33.33 m2`: groups of three, then perhaps decimals, then perhaps a unit. */
static void read_number(cell *of)
{
    size_t i = 0;
    bool minus = of->at[0] == '-';
    i += minus;
    of->number = i < of->length && isdigit((unsigned char)of->at[i]);
    while (of->number && i < of->length) {
        char c = of->at[i];
        bool group = c == ' ' && i + 1 < of->length && isdigit((unsigned char)of->at[i + 1]);
        if (isdigit((unsigned char)c)) {
            of->units = of->units * 10 + (c - '0');
            of->decimals += of->decimals > 0;
        } else if (c == '.' && of->decimals == 0) {
            of->decimals = 1;
        } else if (!group) {
            of->number = c == ' ';
            break;
        }
        i++;
    }
    of->decimals -= of->decimals > 0;
    of->units = minus ? -of->units : of->units;
}

static size_t read_cells(const char *line, size_t length, cell *cells)
{
    size_t count = 0;
    size_t at = 0;
    while (at < length && count < CELLS_MAX) {
        while (at < length && line[at] == ' ') {
            at++;
        }
        size_t from = at;
        while (at < length && !(line[at] == ' ' && (at + 1 == length || line[at + 1] == ' '))) {
            at++;
        }
        if (at > from) {
            cells[count] = (cell){.at = line + from, .length = at - from, .end = at};
            read_number(&cells[count++]);
        }
    }
    return count;
}

/* The lines of a table: from its head to its total. */
typedef struct printed {
    const char *lines[400];
    size_t lengths[400];
    size_t count; /* rows, without head and total */
    cell total[CELLS_MAX];
    size_t total_cells;
} printed;

/* Takes the next table with a total; false: there is none any more. */
static bool next_table(const char **at, printed *table)
{
    table->count = 0;
    bool ruled = false;
    for (const char *line = *at; *line;) {
        size_t length = strcspn(line, "\n");
        const char *after = line + length + (line[length] == '\n');
        if (ruled) {
            table->total_cells = read_cells(line, length, table->total);
            *at = after;
            return true;
        }
        if (length > 2 && strncmp(line, "  -", 3) == 0 && strspn(line + 2, "-") == length - 2) {
            ruled = true;
        } else if (strncmp(line, "  ", 2) == 0) {
            assert_true(table->count < 400);
            table->lines[table->count] = line;
            table->lengths[table->count++] = length;
        } else {
            table->count = 0; /* a title, or a note of the table before */
        }
        line = after;
    }
    return false;
}

/* The sum of the numbers that end in the column of a total; false: none does. */
static bool sum_above(const printed *table, const cell *total, int64_t *sum)
{
    bool any = false;
    *sum = 0;
    for (size_t r = 1; r < table->count; r++) {
        cell cells[CELLS_MAX];
        size_t count = read_cells(table->lines[r], table->lengths[r], cells);
        for (size_t c = 0; c < count; c++) {
            if (cells[c].number && cells[c].end == total->end) {
                assert_int_equal(cells[c].decimals, total->decimals);
                *sum += cells[c].units;
                any = true;
            }
        }
    }
    return any;
}

/* Adds up all tables of a report; returns how many columns were added up. */
static size_t check_sums(const char *text, const char *report)
{
    printed table;
    size_t columns = 0;
    while (next_table(&text, &table)) {
        for (size_t c = 0; c < table.total_cells; c++) {
            const cell *total = &table.total[c];
            int64_t sum;
            if (!total->number || !sum_above(&table, total, &sum)) {
                continue;
            }
            if (sum != total->units) {
                fail_msg("`%s`: parts make %lld, the total is %lld in\n%s", report, (long long)sum,
                         (long long)total->units, table.lines[0]);
            }
            columns++;
        }
    }
    return columns;
}

/* ---- take-off: net and lost make the total, moulds make the job ---- */

static void check_takeoff_rows(const char *text)
{
    printed materials;
    printed moulds;
    if (!next_table(&text, &materials)) {
        fail_msg("no table");
    }
    bool both = next_table(&text, &moulds);
    for (size_t r = 1; r < materials.count; r++) {
        cell cells[CELLS_MAX];
        size_t count = read_cells(materials.lines[r], materials.lengths[r], cells);
        assert_true(count >= 5);
        assert_int_equal(cells[1].units + cells[2].units, cells[3].units);
        int64_t sum = 0;
        for (size_t m = 1; both && m < moulds.count; m++) {
            cell of[CELLS_MAX];
            assert_int_equal(read_cells(moulds.lines[m], moulds.lengths[m], of), 4);
            bool same =
                of[1].length == cells[0].length && memcmp(of[1].at, cells[0].at, of[1].length) == 0;
            sum += same ? of[2].units : 0;
        }
        if (both) {
            assert_int_equal(sum, cells[3].units);
        }
    }
}

/* ---- JSON ---- */

static bool quantity(const json_tree *tree, unsigned node, double *value, unsigned *unit)
{
    unsigned number = node && tree->nodes[node].kind == '{' ? json_find(tree, node, "value") : 0;
    *unit = number ? json_find(tree, node, "unit") : 0;
    *value = number ? tree->nodes[number].number : 0.0;
    return number && *unit && tree->nodes[*unit].kind == '"';
}

static bool is_money(const json_tree *tree, unsigned unit)
{
    return json_is(tree, unit, "EUR");
}

static unsigned member(const json_tree *tree, unsigned row, const json_node *like)
{
    for (unsigned i = tree->nodes[row].first; i; i = tree->nodes[i].next) {
        if (json_same_key(&tree->nodes[i], like)) {
            return i;
        }
    }
    return JSON_NONE;
}

/* Adds up one column of a list; returns whether it has a total that is a quantity. */
static bool check_column(const json_tree *tree, unsigned list, unsigned total_field)
{
    double total;
    unsigned unit;
    if (!quantity(tree, total_field, &total, &unit)) {
        return false;
    }
    double sum = 0.0;
    int64_t minor = 0;
    for (unsigned row = tree->nodes[list].first; row; row = tree->nodes[row].next) {
        double value;
        unsigned of_part;
        unsigned field = member(tree, row, &tree->nodes[total_field]);
        assert_true(field != JSON_NONE); /* rows and total have the same keys */
        assert_true(quantity(tree, field, &value, &of_part));
        assert_int_equal(tree->nodes[of_part].length, tree->nodes[unit].length);
        assert_memory_equal(tree->nodes[of_part].text, tree->nodes[unit].text,
                            tree->nodes[unit].length);
        sum += value;
        minor += llround(value * 100.0);
    }
    if (is_money(tree, unit)) {
        assert_int_equal(minor, llround(total * 100.0));
    }
    assert_close(sum, total, 1e-9 * (1.0 + fabs(total)));
    return true;
}

/* Adds up every list that has a total; returns how many columns. The totals are given back in
 * order. */
static size_t check_lists(const json_tree *tree, double *totals, size_t room)
{
    size_t columns = 0;
    for (unsigned list = tree->nodes[1].first; list; list = tree->nodes[list].next) {
        unsigned total = tree->nodes[list].next;
        bool summed = tree->nodes[list].kind == '[' && total && tree->nodes[total].kind == '{';
        for (unsigned i = summed ? tree->nodes[total].first : 0; i; i = tree->nodes[i].next) {
            if (check_column(tree, list, i)) {
                unsigned unit;
                assert_true(columns < room);
                quantity(tree, i, &totals[columns++], &unit);
            }
        }
    }
    return columns;
}

/* docs/mouldwright.schema.json and docs/json.md as they stand, or NULL. */
static char *schema;
static char *page;

static char *read_page(const char *path)
{
    char *text = NULL;
    size_t length = 0;
    assert_int_equal(mw_file_read(path, 1 << 20, &text, &length), MW_OK);
    return text;
}

/* Every key that is printed stands in the schema and on the page. */
static void check_keys(const json_tree *tree)
{
    schema = schema ? schema : read_page("docs/mouldwright.schema.json");
    page = page ? page : read_page("docs/json.md");
    for (unsigned i = 1; i < tree->count; i++) {
        const json_node *of = &tree->nodes[i];
        char key[80];
        if (!of->key) {
            continue;
        }
        snprintf(key, sizeof key, "\"%.*s\": {", (int)of->key_length, of->key);
        if (!strstr(schema, key)) {
            fail_msg("the schema has no key %s", key);
        }
        snprintf(key, sizeof key, "%.*s", (int)of->key_length, of->key);
        char *total = strstr(key, "_total");
        if (total) {
            *total = '\0';
        }
        if (!strstr(page, key)) {
            fail_msg("the page has no key %s", key);
        }
    }
}

static json_tree read_json(const mw_text *text)
{
    json_tree tree = json_read(mw_text_chars(text), text->length);
    if (tree.fault) {
        fail_msg("%s at byte %zu of %s", tree.fault, (size_t)(tree.at - mw_text_chars(text)),
                 mw_text_chars(text));
    }
    check_keys(&tree);
    return tree;
}

/* The totals on the screen are those of the JSON, in their order; columns that are 0 may be left
 * out there. */
static void check_screen(const char *text, const double *totals, size_t count)
{
    printed table;
    size_t next = 0;
    while (next_table(&text, &table)) {
        for (size_t c = 0; c < table.total_cells; c++) {
            const cell *of = &table.total[c];
            int64_t sum;
            if (!of->number || !sum_above(&table, of, &sum)) {
                continue;
            }
            double scale = pow(10.0, of->decimals);
            while (next < count && totals[next] == 0.0 && of->units != 0) {
                next++;
            }
            assert_true(next < count);
            assert_int_equal(llround(totals[next++] * scale), of->units);
        }
    }
    while (next < count && totals[next] == 0.0) {
        next++;
    }
    assert_int_equal(next, count);
}

/* ---- reports ---- */

typedef struct report_row {
    const char *name;
    size_t columns; /* that have to add up, at least */
    bool of_mould;  /* also of one mould, with that many */
    size_t mould_columns;
} report_row;

static const report_row reports[] = {
    {"moulds", 4, true, 3},  {"takeoff", 2, true, 1},  {"hours", 3, true, 2},
    {"waits", 2, true, 2},   {"calendar", 0, true, 0}, {"cost", 12, true, 11},
    {"pricing", 6, true, 3}, {"buying", 5, true, 5},   {"cautions", 0, true, 0},
};

static const report_row lists[] = {
    {"recipes", 0, false, 0}, {"materials", 0, false, 0}, {"shop", 0, false, 0},
    {"lines", 0, false, 0},   {"steps", 0, true, 0},
};

static const mw_style screen = {.width = 200, .ascii = true};
static const mw_style machine = {.width = 80, .json = true};

static void check_report(job_bench *bench, const char *words, size_t columns)
{
    mw_text text = {0};
    mw_text json = {0};
    double totals[64];
    ask_well(bench, words, screen, &text);
    ask_well(bench, words, machine, &json);
    json_tree tree = read_json(&json);
    size_t in_print = check_sums(mw_text_chars(&text), words);
    size_t in_json = check_lists(&tree, totals, 64);
    if (in_print < columns || in_json < in_print) {
        fail_msg("`%s`: %zu columns add up in print, %zu in JSON, at least %zu are expected", words,
                 in_print, in_json, columns);
    }
    check_screen(mw_text_chars(&text), totals, in_json);
    if (strncmp(words, "takeoff", 7) == 0) {
        check_takeoff_rows(mw_text_chars(&text));
    }
    json_end(&tree);
    mw_text_free(&text);
    mw_text_free(&json);
}

static void check_job(job_bench *bench, const char *mould)
{
    char words[80];
    for (size_t i = 0; i < sizeof reports / sizeof *reports; i++) {
        check_report(bench, reports[i].name, reports[i].columns);
        snprintf(words, sizeof words, "%s %s", reports[i].name, mould);
        check_report(bench, words, reports[i].mould_columns);
    }
}

/* ---- money ---- */

/* Every breakdown of money groups the postings: by mould and kind, by step, in all. */
static void check_postings(job_bench *bench)
{
    const mw_posting *postings;
    uint32_t count = 0;
    mw_text json = {0};
    ask_well(bench, "cost", machine, &json);
    json_tree tree = read_json(&json);
    bench_clear(bench);
    assert_int_equal(mw_job_postings(bench->job, MW_NONE, &postings, &count, &bench->diags), MW_OK);
    int64_t cost = 0;
    int64_t price = 0;
    for (uint32_t i = 0; i < count; i++) {
        price += postings[i].minor;
        cost += postings[i].kind >= MW_POST_CONTINGENCY ? 0 : postings[i].minor;
    }
    unsigned total = json_find(&tree, 1, "price_by_mould_total");
    double value;
    unsigned unit;
    assert_true(quantity(&tree, json_find(&tree, total, "cost"), &value, &unit));
    assert_int_equal(llround(value * 100.0), cost);
    assert_int_equal(llround(mw_job_total(bench->job, "job.cost") * 100.0), cost);
    assert_true(quantity(&tree, json_find(&tree, total, "price"), &value, &unit));
    assert_int_equal(llround(value * 100.0), price);
    assert_int_equal(llround(mw_job_total(bench->job, "job.price") * 100.0), price);
    json_end(&tree);
    mw_text_free(&json);
}

/* ---- generated jobs ---- */

static uint64_t next_random(uint64_t *state) /* splitmix64, Steele, Lea and Flood 2014 */
{
    uint64_t z = *state += 0x9E3779B97F4A7C15u;
    z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9u;
    z = (z ^ (z >> 27)) * 0x94D049BB133111EBu;
    return z ^ (z >> 31);
}

static unsigned below(uint64_t *state, unsigned n)
{
    return (unsigned)(next_random(state) % n);
}

static void add_override(uint64_t *random, unsigned moulds, mw_text *job)
{
    static const struct {
        const char *path, *before, *behind;
        unsigned least, most;
    } changes[] = {{"heavy.plies", "", "", 1, 7},
                   {"heavy.hours", "0.", " h", 100, 999},
                   {"block.hours", "1.", " h", 100, 999},
                   {"heavy.share", "0.4", "", 10, 99},
                   {"demould.hours", "usual * 1.", "", 100, 999}};
    size_t which = below(random, sizeof changes / sizeof *changes);
    if (below(random, 3)) {
        mw_text_addf(job, "m%u.", below(random, moulds));
    } else {
        mw_text_adds(job, "moulds.");
    }
    unsigned spread = changes[which].most - changes[which].least + 1;
    mw_text_addf(job, "%s = %s%u%s\n", changes[which].path, changes[which].before,
                 changes[which].least + below(random, spread), changes[which].behind);
}

static unsigned write_job(uint64_t random, mw_text *job)
{
    unsigned moulds = 1 + below(&random, 5);
    mw_text_adds(job, "shop \"yard\"\nstart 2027-01-04\n");
    for (unsigned m = 0; m < moulds; m++) {
        mw_text_addf(job, "mould m%u: area %u.%03u m2, recipe \"%s\"", m, below(&random, 3),
                     100 + below(&random, 900), below(&random, 2) ? "simple" : "simple more");
        if (below(&random, 2)) {
            mw_text_addf(job, ", edge %u.%02u m", 1 + below(&random, 9), below(&random, 100));
        }
        mw_text_addc(job, '\n');
    }
    for (unsigned i = below(&random, 7); i > 0; i--) {
        add_override(&random, moulds, job);
    }
    return moulds;
}

#define JOBS 200

static void generated_jobs(void **state)
{
    (void)state;
    const char *wanted = getenv("MW_SEED");
    uint64_t seed = wanted ? strtoull(wanted, NULL, 10) : 20270311;
    print_message("seed %llu\n", (unsigned long long)seed);
    for (unsigned i = 0; i < JOBS; i++) {
        uint64_t random = seed + i;
        mw_text job = {0};
        char mould[16];
        unsigned moulds = write_job(random, &job);
        job_bench bench;
        bench_start(&bench, NULL);
        bench_say_all(&bench, mw_text_chars(&job));
        snprintf(mould, sizeof mould, "m%u", below(&random, moulds));
        print_message("%s", i == 0 ? mw_text_chars(&job) : "");
        check_job(&bench, mould);
        check_postings(&bench);
        bench_end(&bench);
        mw_text_free(&job);
    }
}

/* ---- a job by hand, changed ---- */

typedef struct job_row {
    const char *name;
    const char *say;
    const char *fewer; /* reports in which less than usual is there to add up, or NULL */
} job_row;

static const job_row jobs[] = {
    {"as it stands", NULL, NULL},
    {"hours in thirds", "moulds.heavy.hours = 1 h / 3\nmoulds.block.hours = 1 h / 3", NULL},
    {"nothing to do", "moulds.hours = 0 h", "hours cost waits pricing"},
    {"many alike", "mould c: area 1 m2, recipe \"simple\"\nmould d: area 1 m2, recipe \"simple\"",
     NULL},
    {"one mould", "drop b", NULL},
    {"another unit of area", "mould c: area 33333 cm2, recipe \"simple\"", NULL},
    {"never ready", "mould c: area 49.999 m2, edge 40 m, recipe \"simple\"\nc.heavy.plies = 20",
     "waits"},
    {"all that comes on top",
     "shop.contingency = 3.3 %\nshop.markup = 7.7 %\nshop.discount = 1.1 %\nshop.offer_step = 5\n"
     "shop.left_over_charged = 33 %\nshop.learning = 87 %\nshop.overhead_material = 4.9 %",
     NULL},
    {"a dear shop", "shop.overhead = 33.3 %\nshop.margin = 12.7 %\nshop.tax = 19 %", NULL},
};

static void changed_job(void **state)
{
    const job_row *row = *state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    bench_say_all(&bench, row->say);
    char words[80];
    for (size_t i = 0; i < sizeof reports / sizeof *reports; i++) {
        bool fewer = row->fewer && strstr(row->fewer, reports[i].name);
        check_report(&bench, reports[i].name, fewer ? 0 : reports[i].columns);
        snprintf(words, sizeof words, "%s a", reports[i].name);
        check_report(&bench, words, 0);
    }
    check_postings(&bench);
    bench_end(&bench);
}

/* Lists too are well-formed, alone and of a mould. */
static void lists_as_json(void **state)
{
    const report_row *row = *state;
    job_bench bench;
    mw_text json = {0};
    bench_start(&bench, "tests/data/job/two.job");
    for (int of_mould = 0; of_mould <= (row->of_mould ? 1 : 0); of_mould++) {
        char words[80];
        snprintf(words, sizeof words, "%s", of_mould ? "a" : "");
        mw_request request = {.word = mw_str_of(row->name),
                              .argument = mw_str_of(words),
                              .argument_at = {.source = MW_NONE},
                              .style = &machine};
        mw_text_clear(&json);
        assert_int_equal(mw_report_list(bench.job, &request, &json, &bench.diags), MW_OK);
        json_tree tree = read_json(&json);
        assert_true(json_is(&tree, json_find(&tree, 1, "report"), row->name));
        json_end(&tree);
    }
    mw_text_free(&json);
    bench_end(&bench);
}

/* The checker refuses what is not JSON; from memory of RFC 8259, sections 2 to 7. */
typedef struct text_row {
    const char *name;
    const char *text;
} text_row;

static const text_row no_json[] = {
    {"a comma too many", "{\"a\": [1,]}\n"},
    {"a zero in front", "{\"a\": 01}\n"},
    {"no digit behind the point", "{\"a\": 1.}\n"},
    {"a sign in front", "{\"a\": +1}\n"},
    {"not a number", "{\"a\": NaN}\n"},
    {"a key twice", "{\"a\": 1, \"a\": 2}\n"},
    {"a string open", "{\"a\": \"b}\n"},
    {"a control character", "{\"a\": \"\t\"}\n"},
    {"an escape unknown", "{\"a\": \"\\x\"}\n"},
    {"bytes that are no UTF-8", "{\"a\": \"\xC0\x80\"}\n"},
    {"two objects", "{} {}\n"},
    {"two lines", "{\n}\n"},
    {"not an object", "[]\n"},
    {"no end of line", "{}"},
    {"a word unknown", "{\"a\": nul}\n"},
    {"no colon", "{\"a\" 1}\n"},
};

static void refuses(void **state)
{
    const text_row *row = *state;
    json_tree tree = json_read(row->text, strlen(row->text));
    assert_non_null(tree.fault);
    json_end(&tree);
}

/* What the reader of tables must find wrong. */
static void finds_a_wrong_sum(void **state)
{
    (void)state;
    const char *text = "title\n  a     h\n  x   1.5\n  y   2.0\n  -------\n  all 3.6\n";
    printed table;
    int64_t sum;
    assert_true(next_table(&text, &table));
    assert_int_equal(table.total_cells, 1);
    text = "title\n  a      h\n  x    1.5\n  y  1 002.0\n  -------\n  all  1 003.6\n";
    assert_true(next_table(&text, &table));
    assert_int_equal(table.total_cells, 2);
    assert_int_equal(table.total[1].units, 10036);
    assert_false(sum_above(&table, &table.total[1], &sum));
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "not JSON", no_json, refuses);
    test_add(&list, finds_a_wrong_sum);
    test_add_rows(&list, "adds up", jobs, changed_job);
    test_add_rows(&list, "list as JSON", lists, lists_as_json);
    test_add(&list, generated_jobs);
    int failed = test_run(&list, "report: figures");
    mw_memory_give(schema);
    mw_memory_give(page);
    return failed;
}
