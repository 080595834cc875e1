/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Job files with several faults: all that do not follow from each other are said in one run, in the order of the lines, and
 * the job stays empty. */
#include "job_state.h"

#define YARD   "shop \"yard\"\n"
#define SIMPLE "mould a: area 4 m2, recipe \"simple\"\n"

typedef struct fault_row {
    const char *name;
    const char *job;
    const char *more; /* more.inc, which it may include; or NULL */
    const char *list; /* list.csv; or NULL */
    const char
        *want; /* `line:column code`, one after the other; of another file with its name in front */
} fault_row;

static const fault_row rows[] = {
    {"syntax and kinds", "a = (1\nb = 4 m + 2 kg\nc = nobody\n", NULL, NULL,
     "1:5 unclosed, 2:11 kind-mismatch, 3:5 unknown-name"},
    {"what reads a line that cannot be read is no fault", "a = (1\nb = a + 1\nc = b * 2 kg + 1 m\n",
     NULL, NULL, "1:5 unclosed"},
    {"what reads a line of wrong kinds is no fault", "a = 1 m + 1 kg\nb = a + 1\nc = b\n", NULL,
     NULL, "1:11 kind-mismatch"},
    {"but a fault of its own in such a line is", "a = (1\nb = a + (1 m + 1 kg)\n", NULL, NULL,
     "1:5 unclosed, 2:16 kind-mismatch"},
    {"an equals sign forgotten", "budget 300 EUR\nhalf = budget / 2\n", NULL, NULL,
     "1:1 unknown-statement"},
    {"a colon for the equals sign, and the line again", "budget: 300 EUR\nbudget = 3 EUR\n", NULL,
     NULL, "1:1 unknown-statement"},
    {"set twice though the first cannot be read", "a = (1\na = 2\n", NULL, NULL,
     "1:5 unclosed, 2:1 name-twice"},
    {"a comparison for a definition, behind a fault", "x = (1\nx == 3\n", NULL, NULL,
     "1:5 unclosed, 2:3 syntax"},
    {"set three times", "a = 1\na = 2\na = 3\n", NULL, NULL, "2:1 name-twice, 3:1 name-twice"},
    {"two loops and a kind", "a = b\nb = a\nc = d\nd = c\ne = 1 m + 1 s\n", NULL, NULL,
     "1:5 cycle, 3:5 cycle, 5:11 kind-mismatch"},
    {"unknown shop, recipe, input, step, quantity and kind",
     "shop \"yrad\"\nmould a: area 4 m2, recipe \"simpel\"\nmould b: aera 4 m2, recipe \"simple\"\n" //
     "b.haevy.plies = 3\nb.heavy.pleis = 3\nb.heavy.plies = 3 kg\n",
     NULL, NULL,
     "1:7 unknown-shop, 2:28 unknown-recipe, 3:10 unknown-quantity, 4:1 unknown-step, "
     "5:1 unknown-quantity, 6:17 wrong-kind"},
    {"an unknown shop may have units, trades and rates of its own",
     "shop \"yrad\"\n" SIMPLE "bulk = 3 drum\nx = bulk + 1 kg\nr = shop.layer_rate * 2 h\n" //
     "left = 900 USD - sum(moulds.cost)\nall = job.cost + 3 USD\n",
     NULL, NULL, "1:7 unknown-shop"},
    {"no shop at all", SIMPLE "mould b: area 1 kg, recipe \"simple\"\n", NULL, NULL,
     "1:1 no-shop, 2:15 wrong-kind"},
    {"a mould that cannot be made hides what is said of it",
     YARD "mould a: area 4 m2, recipe \"simpel\"\na.heavy.plies = 3\nx = a.area\n"
          "moulds.heavy.plies = 3\ny = sum(moulds.cost)\n",
     NULL, NULL, "2:28 unknown-recipe"},
    {"a mould's line that cannot be read hides what is said of it",
     YARD "mould a: area (4 m2, recipe \"simple\"\na.heavy.plies = 3\nx = a.area\n"
          "mould b: area 1 m2, recipe \"simple\", after a\n",
     NULL, NULL, "2:15 unclosed"},
    {"a misspelt input is not missing too", YARD "mould a: aera 4 m2, recipe \"simple\"\n", NULL,
     NULL, "2:10 unknown-quantity"},
    {"an override that cannot be read is an input all the same",
     YARD "mould a: recipe \"simple\"\na.area = (4 m2\nmould b: recipe \"simple\"\n", NULL, NULL,
     "3:10 unclosed, 4:7 missing-input"},
    {"limits beside kinds and syntax",
     YARD SIMPLE "a.heavy.plies = 21\na.rim = 3 kg\nx = (1\nshop.margin = 100 %\n", NULL, NULL,
     "3:17 out-of-range, 4:9 wrong-kind, 5:5 unclosed, 6:15 out-of-range"},
    {"one override that reaches many moulds is one fault",
     YARD SIMPLE "mould b: area 4 m2, recipe \"simple\"\nmoulds.heavy.plies = 3 kg\n", NULL, NULL,
     "4:22 wrong-kind"},
    {"an override of the wrong kind that narrower ones hide",
     YARD SIMPLE "a.heavy.plies = 3\nmoulds.heavy.plies = 3 kg\na.area = 3 m2\n", NULL, NULL,
     "4:22 wrong-kind"},
    {"a mould's input of the wrong kind that an override hides",
     YARD "mould a: area 4 kg, recipe \"simple\"\na.area = 3 m2\n", NULL, NULL, "2:15 wrong-kind"},
    {"materials",
     YARD SIMPLE "a.heavy.cloth_material = \"slow resin\"\n"
                 "a.heavy.resin_material = \"no resin\"\n",
     NULL, NULL, "3:27 wrong-kind, 4:27 unknown-material"},
    {"after, from and a loop of moulds",
     YARD "mould a: area 4 m2, recipe \"simple\", after z\n"
          "mould b: area 4 m2, recipe \"simple\", from soon\n"
          "mould c: area 4 m2, recipe \"simple\", after d\n"
          "mould d: area 4 m2, recipe \"simple\", after c\n",
     NULL, NULL, "2:44 unknown-mould, 3:43 bad-date, 4:1 cycle"},
    {"a file that is not there may hold any name",
     YARD "include \"none.inc\"\nx = rate * 2\nmould a: recipe \"simple\"\nz.heavy.plies = 3\n"
          "y = 1 m + 1 kg\n",
     NULL, NULL, "2:10 no-such-file, 6:11 kind-mismatch"},
    {"a list that is not there may hold any mould",
     "moulds from \"none.csv\"\nz.heavy.plies = 3\ny = z.cost\ndrop q\n", NULL, NULL,
     "1:14 no-such-file"},
    {"faults of an included file behind those of the job",
     YARD "include \"more.inc\"\nx = rate * 2\ny = 1 m + 1 kg\nz = good + 1 kg\n",
     "rate = (3\ngood = 4 m\nbad = 1 m + 1 s\n", NULL,
     "4:11 kind-mismatch, 5:12 kind-mismatch, more.inc:1:8 unclosed, more.inc:3:13 kind-mismatch"},
    {"faults of a list",
     YARD "moulds from \"list.csv\"\nb.heavy.pleis = 3\nx = c.area\ny = d.cost\n", NULL,
     "name,area [m2],recipe\nb,4 kg,simple\nc,3,simpel\nd,\"2,5\",simple\ne,1,simple,3\n",
     "3:1 unknown-quantity, list.csv:2:3 wrong-kind, list.csv:3:5 unknown-recipe, "
     "list.csv:4:4 decimal-comma, list.csv:5:1 csv-form"},
    {"faults of the head of a list",
     YARD "moulds from \"list.csv\"\nb.heavy.plies = 3\nx = c.area\n", NULL,
     "name,area [m3x],edge,edge,recipe\nb,4,,,simple\nc,3,,,simple\n",
     "list.csv:1:6 unknown-unit, list.csv:1:22 name-twice"},
    {"the same mould twice in a list", YARD "moulds from \"list.csv\"\nx = 1 m + 1 s\n", NULL,
     "name,area [m2],recipe\nb,4,simple\nb,3,simple\n",
     "3:11 kind-mismatch, list.csv:3:1 name-twice"},
    {"a name of the language, a mould's name, and a statement of the prompt",
     YARD SIMPLE "job = 3\na = 4\ncopy mould a as b\nx = job.cost + 1 kg\n", NULL, NULL,
     "3:1 name-taken, 4:1 name-taken, 5:1 unknown-statement, 6:16 kind-mismatch"},
    {"ten of a file and the rest counted",
     "a = (1\nb = (1\nc = (1\nd = (1\ne = (1\nf = (1\ng = (1\nh = (1\ni = (1\nj = (1\nk = (1\nl = (1\n",
     NULL, NULL,
     "1:5 unclosed, 2:5 unclosed, 3:5 unclosed, 4:5 unclosed, 5:5 unclosed, 6:5 unclosed, "
     "7:5 unclosed, 8:5 unclosed, 9:5 unclosed, 10:5 unclosed, and 2 more in job.job"},
    {"the first ten, though others are found before them",
     "a = 1 m + 1 s\nb = (1\nc = (1\nd = (1\ne = (1\nf = (1\ng = (1\nh = (1\ni = (1\nj = (1\nk = (1\n",
     NULL, NULL,
     "1:11 kind-mismatch, 2:5 unclosed, 3:5 unclosed, 4:5 unclosed, 5:5 unclosed, 6:5 unclosed, "
     "7:5 unclosed, 8:5 unclosed, 9:5 unclosed, 10:5 unclosed, and 1 more in job.job"},
};

static void write_text(const char *folder, const char *name, const char *text)
{
    char path[300];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *file = text ? fopen(path, "wb") : NULL;
    if (file) {
        fputs(text, file);
        fclose(file);
    }
}

/* What was said, as the rows have it. */
static void words_of(const job_bench *bench, const char *folder, mw_text *out)
{
    mw_sources *sources = mw_job_sources(bench->job);
    size_t skip = strlen(folder) + 1;
    for (size_t i = 0; i < bench->diags.count; i++) {
        const mw_diag *diag = &bench->diags.items[i];
        mw_place place = mw_sources_place(sources, diag->span.source, diag->span.begin);
        mw_str name = {place.name.at + skip, place.name.length - skip};
        mw_text_adds(out, i ? ", " : "");
        if (!mw_str_is(name, "job.job")) {
            mw_text_addf(out, "%.*s:", (int)name.length, name.at);
        }
        mw_text_addf(out, "%u:%u %s", (unsigned)place.line, (unsigned)place.column,
                     mw_code_word(diag->code));
    }
    for (size_t i = 0; i < bench->diags.rest_count; i++) {
        mw_str name = mw_sources_name(sources, bench->diags.rests[i].source);
        mw_text_addf(out, ", and %zu more in %s", bench->diags.rests[i].count, name.at + skip);
    }
}

static void all_at_once(void **state)
{
    const fault_row *row = *state;
    const char *folder = support_folder();
    char path[300];
    write_text(folder, "job.job", row->job);
    write_text(folder, "more.inc", row->more);
    write_text(folder, "list.csv", row->list);
    snprintf(path, sizeof path, "%s/job.job", folder);
    job_bench bench;
    bench_start(&bench, path);
    assert_int_equal(bench.status, MW_FAILED);
    mw_text said = {0};
    words_of(&bench, folder, &said);
    assert_string_equal(mw_text_chars(&said), row->want);
    mw_text_free(&said);
    assert_int_equal(mw_job_mould_count(bench.job), 0);
    assert_int_equal(mw_job_line_count(bench.job), 0);
    assert_int_equal(bench.job->open_count, 0);
    bench_end(&bench);
    support_folder_remove(folder);
}

int main(void)
{
    return run_rows("job: files with several faults", rows, all_at_once);
}
