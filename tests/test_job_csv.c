/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lists of moulds as comma-separated values: RFC 4180, semicolons, units in the head or in the cell. */
#include "job_state.h"

#define HEAD "name,area [m2],edge,recipe\n"

typedef struct csv_row {
    const char *name;
    const char *text;
    mw_status want;
    mw_code code;
    uint32_t moulds; /* in all, with the two of the job */
    double area_m2;  /* of mould c */
} csv_row;

static const csv_row rows[] = {
    {"unit in the head", HEAD "c,2,8 m,simple\n", MW_OK, MW_CODE_COUNT, 3, 2},
    {"unit in the cell", "name,area,recipe\nc,2 m2,simple\n", MW_OK, MW_CODE_COUNT, 3, 2},
    {"cell with a unit under a head with one", HEAD "c,20000 cm2,8 m,simple\n", MW_OK,
     MW_CODE_COUNT, 3, 2},
    {"quotes", HEAD "\"c\",\"2\",\"8 m\",\"simple more\"\n", MW_OK, MW_CODE_COUNT, 3, 2},
    {"semicolons", "name;area [m2];recipe\nc;2;simple\n", MW_OK, MW_CODE_COUNT, 3, 2},
    {"byte order mark", "\xef\xbb\xbf" HEAD "c,2,8 m,simple\n", MW_OK, MW_CODE_COUNT, 3, 2},
    {"line ends of CR LF", "name,area [m2],recipe\r\nc,2,simple\r\n", MW_OK, MW_CODE_COUNT, 3, 2},
    {"no line end at the end", HEAD "c,2,8 m,simple", MW_OK, MW_CODE_COUNT, 3, 2},
    {"blank lines and blanks", HEAD "\n c , 2 , 8 m , simple \n\nd,1,4 m,simple\n", MW_OK,
     MW_CODE_COUNT, 4, 2},
    {"empty cell: the usual value", HEAD "c,2,,simple\n", MW_OK, MW_CODE_COUNT, 3, 2},
    {"empty", "", MW_FAILED, MW_CODE_CSV_FORM, 2, 0},
    {"no name", "area,recipe\n2 m2,simple\n", MW_FAILED, MW_CODE_CSV_FORM, 2, 0},
    {"too many cells", HEAD "c,2,8 m,simple,5\n", MW_FAILED, MW_CODE_CSV_FORM, 2, 0},
    {"bad name", HEAD "9c,2,8 m,simple\n", MW_FAILED, MW_CODE_CSV_FORM, 2, 0},
    {"text after a quote", HEAD "\"c\"x,2,8 m,simple\n", MW_FAILED, MW_CODE_CSV_FORM, 2, 0},
    {"open quote", HEAD "\"c,2,8 m,simple\n", MW_FAILED, MW_CODE_UNCLOSED, 2, 0},
    {"open bracket", "name,area [m2,recipe\nc,2,simple\n", MW_FAILED, MW_CODE_UNCLOSED, 2, 0},
    {"no unit", "name,area [qqq],recipe\nc,2,simple\n", MW_FAILED, MW_CODE_UNKNOWN_UNIT, 2, 0},
    {"unit of another kind", "name,area [kg],recipe\nc,2,simple\n", MW_FAILED, MW_CODE_WRONG_KIND,
     2, 0},
    {"column twice", "name,edge,edge\nc,2 m,2 m\n", MW_FAILED, MW_CODE_NAME_TWICE, 2, 0},
    {"decimal comma", "name;area [m2];recipe\nc;2,5;simple\n", MW_FAILED, MW_CODE_DECIMAL_COMMA, 2,
     0},
    {"no UTF-8", HEAD "c\xff,2,8 m,simple\n", MW_FAILED, MW_CODE_BAD_TEXT, 2, 0},
};

static void read_list(void **state)
{
    const csv_row *row = *state;
    const char *folder = support_folder();
    char path[200];
    char statement[300];
    snprintf(path, sizeof path, "%s/list.csv", folder);
    snprintf(statement, sizeof statement, "moulds from \"%s\"", path);
    FILE *file = fopen(path, "wb");
    assert_non_null(file);
    fputs(row->text, file);
    fclose(file);
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    job_state before = state_of(bench.job);
    mw_status status = bench_say(&bench, statement);
    if (status != row->want) {
        fail_msg("%s", bench.diags.count ? bench.diags.items[0].message : "accepted");
    }
    assert_int_equal(mw_job_mould_count(bench.job), row->moulds);
    if (status == MW_OK) {
        assert_near(bench_value(&bench, "c.area"), row->area_m2, 1e-12);
    } else {
        assert_int_equal(bench.diags.items[0].code, row->code);
        assert_state(bench.job, &before);
    }
    bench_end(&bench);
    support_folder_remove(folder);
}

int main(void)
{
    return run_rows("job: lists of moulds", rows, read_list);
}
