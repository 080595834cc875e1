/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Tables as they are drawn, at every width. What is expected was drawn by hand after the rules of
 * the header: text columns shrink, numbers never, a cut shows itself, too narrow is one record a
 * block. */
#include "support.h"

#include <stdio.h>
#include <string.h>

#include "mouldwright/report.h"

/* Heads: `<name` text, `>name` number. Rows end in `;`, cells are parted by `|`, a row `=` is a
 * rule. */
#define GOODS                                                       \
    "<material|<kind|>total|>cost EUR",                             \
        "biaxial carbon cloth|cloth|125.66 m2|2 612.08;"            \
        "laminating resin, slow hardener|resin|106.62 kg|1 443.45;" \
        "=;all|||4 055.53;"

typedef struct table_row {
    const char *name;
    mw_style style;
    const char *heads;
    const char *cells;
    const char *want;
} table_row;

static const table_row rows[] = {
    {"200 columns",
     {.width = 200},
     GOODS,
     "  material                         kind       total  cost EUR\n"
     "  biaxial carbon cloth             cloth  125.66 m2  2 612.08\n"
     "  laminating resin, slow hardener  resin  106.62 kg  1 443.45\n"
     "  ───────────────────────────────────────────────────────────\n"
     "  all                                                4 055.53\n"},
    {"80 columns, ascii",
     {.width = 80, .ascii = true},
     GOODS,
     "  material                         kind       total  cost EUR\n"
     "  biaxial carbon cloth             cloth  125.66 m2  2 612.08\n"
     "  laminating resin, slow hardener  resin  106.62 kg  1 443.45\n"
     "  -----------------------------------------------------------\n"
     "  all                                                4 055.53\n"},
    {"as wide as the table",
     {.width = 61, .ascii = true},
     GOODS,
     "  material                         kind       total  cost EUR\n"
     "  biaxial carbon cloth             cloth  125.66 m2  2 612.08\n"
     "  laminating resin, slow hardener  resin  106.62 kg  1 443.45\n"
     "  -----------------------------------------------------------\n"
     "  all                                                4 055.53\n"},
    {"one column less: a cut shows itself",
     {.width = 60},
     GOODS,
     "  material                        kind       total  cost EUR\n"
     "  biaxial carbon cloth            cloth  125.66 m2  2 612.08\n"
     "  laminating resin, slow harden…  resin  106.62 kg  1 443.45\n"
     "  ──────────────────────────────────────────────────────────\n"
     "  all                                               4 055.53\n"},
    {"40 columns",
     {.width = 40},
     GOODS,
     "  material    kind       total  cost EUR\n"
     "  biaxial c…  cloth  125.66 m2  2 612.08\n"
     "  laminatin…  resin  106.62 kg  1 443.45\n"
     "  ──────────────────────────────────────\n"
     "  all                           4 055.53\n"},
    {"40 columns, ascii",
     {.width = 40, .ascii = true},
     GOODS,
     "  material    kind       total  cost EUR\n"
     "  biaxial c~  cloth  125.66 m2  2 612.08\n"
     "  laminatin~  resin  106.62 kg  1 443.45\n"
     "  --------------------------------------\n"
     "  all                           4 055.53\n"},
    {"36 columns: six of a text are left",
     {.width = 36, .ascii = true},
     GOODS,
     "  mater~  kind       total  cost EUR\n"
     "  biaxi~  cloth  125.66 m2  2 612.08\n"
     "  lamin~  resin  106.62 kg  1 443.45\n"
     "  ----------------------------------\n"
     "  all                       4 055.53\n"},
    {"35 columns: records",
     {.width = 35},
     GOODS,
     "material: biaxial carbon cloth\n"
     "kind: cloth\n"
     "total: 125.66 m2\n"
     "cost EUR: 2 612.08\n"
     "\n"
     "material: laminating resin, slow\n"
     "  hardener\n"
     "kind: resin\n"
     "total: 106.62 kg\n"
     "cost EUR: 1 443.45\n"
     "\n"
     "material: all\n"
     "cost EUR: 4 055.53\n"},
    {"plain",
     {.width = 200, .plain = true},
     "<mould|>h",
     "a|1;b|;=;all|1;",
     "mould: a\nh: 1\n\nmould: b\n\nmould: all\nh: 1\n"},
    {"a record without heads",
     {.width = 80, .plain = true},
     "<|>EUR",
     "tax|5.00;",
     "tax\nEUR: 5.00\n"},
    {"20 columns",
     {.width = 20, .ascii = true},
     "<mould|>hours",
     "centre hull|223.3;",
     "  mould        hours\n  centre hull  223.3\n"},
    {"20 columns, one too many",
     {.width = 20, .ascii = true},
     "<mould|>hours",
     "centre hulls|223.3;",
     "  mould        hours\n  centre hul~  223.3\n"},
    {"numbers alone never shrink",
     {.width = 20},
     ">a|>b",
     "1 000 000.00|2 000 000.00;",
     "a: 1 000 000.00\nb: 2 000 000.00\n"},
    {"a record is broken to the screen",
     {.width = 20},
     ">a|<note",
     "1 000 000.00|one two three four five;",
     "a: 1 000 000.00\nnote: one two three\n  four five\n"},
    {"the widest text gives first",
     {.width = 20, .ascii = true},
     "<a|<b",
     "abcdefghijklmn|abcdefgh;",
     "  a         b\n  abcdefg~  abcdefgh\n"},
    {"a text of two columns a sign",
     {.width = 80},
     "<型|>kg",
     "模具甲|1.5;hull|22;",
     "  型       kg\n  模具甲  1.5\n  hull     22\n"},
    {"a cut between signs of two columns",
     {.width = 14},
     "<a|>kg",
     "模具甲乙丙|1.5;",
     "  a         kg\n  模具甲…  1.5\n"},
    {"a cut inside a sign of two columns",
     {.width = 13},
     "<a|>kg",
     "模具甲乙丙|1.5;",
     "  a        kg\n  模具…   1.5\n"},
    {"a sign that combines takes no column",
     {.width = 80},
     "<a|>b",
     "cafe\xCC\x81|1;tea|2;",
     "  a     b\n  cafe\xCC\x81  1\n  tea   2\n"},
    {"control characters become blanks",
     {.width = 80},
     "<a|>b",
     "x\ty\x1bz|1;",
     "  a      b\n  x y z  1\n"},
    {"no rows", {.width = 80}, "<what|>until", "", "  what  until\n"},
    {"blanks at the end of a line are dropped",
     {.width = 80},
     "<a|<b",
     "1|;long|x;",
     "  a     b\n  1\n  long  x\n"},
    {"rules stand before their rows",
     {.width = 80, .ascii = true},
     "<a|>b",
     "=;x|1;=;y|2;",
     "  a  b\n  ----\n  x  1\n  ----\n  y  2\n"},
};

static void add_columns(mw_table *table, const char *heads)
{
    while (*heads) {
        char head[80];
        size_t length = strcspn(heads, "|");
        assert_true(length > 0 && length < sizeof head);
        memcpy(head, heads + 1, length - 1);
        head[length - 1] = '\0';
        mw_table_column(table, head, heads[0] == '<' ? MW_LEFT : MW_RIGHT);
        heads += length + (heads[length] == '|');
    }
}

static void add_cells(mw_table *table, const char *cells)
{
    while (*cells) {
        if (strncmp(cells, "=;", 2) == 0) {
            mw_table_rule(table);
            cells += 2;
            continue;
        }
        size_t length = strcspn(cells, "|;");
        mw_table_cell(table, (mw_str){cells, length});
        cells += length + 1;
    }
}

static mw_status draw(const table_row *row, mw_text *out)
{
    mw_table *table = mw_table_new();
    if (!table) {
        return MW_NO_MEMORY;
    }
    add_columns(table, row->heads);
    add_cells(table, row->cells);
    mw_status status = mw_table_write(table, &row->style, out);
    mw_table_free(table);
    return status;
}

static void check(void **state)
{
    const table_row *row = *state;
    mw_text out = {0};
    assert_int_equal(draw(row, &out), MW_OK);
    assert_string_equal(mw_text_chars(&out), row->want);
    mw_text_free(&out);
}

/* Whatever the width: no line is wider unless the table became records, and no number is cut. */
static void every_width(void **state)
{
    (void)state;
    table_row row = {"widths", {.width = 20}, GOODS, NULL};
    for (uint32_t width = 20; width <= 200; width++) {
        row.style = (mw_style){.width = width, .ascii = width % 2 == 1};
        mw_text out = {0};
        assert_int_equal(draw(&row, &out), MW_OK);
        const char *text = mw_text_chars(&out);
        assert_non_null(strstr(text, "125.66 m2"));
        assert_non_null(strstr(text, "1 443.45"));
        assert_non_null(strstr(text, "4 055.53\n"));
        bool records = strncmp(text, "material: ", 10) == 0;
        assert_true(records == (width < 36));
        for (const char *at = text; !records && *at; at += strcspn(at, "\n") + 1) {
            assert_true(mw_utf8_columns((mw_str){at, strcspn(at, "\n")}) <= width);
        }
        mw_text_free(&out);
    }
}

static support_outcome draw_without_memory(void *context)
{
    mw_text out = {0};
    mw_status status = draw(context, &out);
    bool failed = status == MW_NO_MEMORY;
    if (!failed) {
        assert_int_equal(status, MW_OK);
        assert_non_null(strstr(mw_text_chars(&out), "4 055.53"));
    }
    mw_text_free(&out);
    return failed ? SUPPORT_NO_MEMORY : SUPPORT_DONE;
}

static void memory_fails(void **state)
{
    (void)state;
    table_row row = {"memory", {.width = 60}, GOODS, NULL};
    assert_true(support_fail_each_allocation(draw_without_memory, &row) > 0);
}

/* A table has 80 columns at most: more are not dropped silently. */
static void too_many_columns(void **state)
{
    (void)state;
    for (int count = 80; count <= 81; count++) {
        mw_table *table = mw_table_new();
        assert_non_null(table);
        for (int i = 0; i < count; i++) {
            mw_table_column(table, "x", MW_RIGHT);
        }
        mw_text out = {0};
        mw_style style = {.width = 1000};
        assert_int_equal(mw_table_write(table, &style, &out), count == 80 ? MW_OK : MW_NO_MEMORY);
        mw_text_free(&out);
        mw_table_free(table);
    }
    mw_table_free(NULL);
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "drawn", rows, check);
    test_add(&list, every_width);
    test_add(&list, memory_fails);
    test_add(&list, too_many_columns);
    return test_run(&list, "report: tables");
}
