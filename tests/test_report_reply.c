/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Answers to statements, in words and as JSON, to the last character. Job: tests/data/job/two.job.
 * By hand, for mould a: laid area 4 m2 + 8 m * 100 mm = 4.8 m2. Each heavy ply takes 4.8 / 0.9 =
 * 5.333 m2 of cloth at 10 EUR = 53.33 EUR, 4.8 * 0.4 / 0.95 = 2.021 kg of resin at 12 EUR = 24.25
 * EUR and 1.2 h at 40 EUR/h / 80 % = 60 EUR, overhead 10 %. JSON numbers: the double nearest to
 * the decimal, to 17 digits, as C prints it. */
#include "job_bench.h"
#include "report_json.h"

#include "mouldwright/report.h"

typedef struct answer_row {
    const char *name;
    const char *say; /* before it, or NULL */
    const char *statement;
    const char *words;
    const char *json; /* without the end of the line */
} answer_row;

static const answer_row values[] = {
    {"a number", NULL, "1 + 2 * 3", "7\n", "{\"value\": 7, \"unit\": \"1\"}"},
    {"a tenth", NULL, "0.1 + 0.2", "0.3\n", "{\"value\": 0.30000000000000004, \"unit\": \"1\"}"},
    {"a quantity", NULL, "600 g/m2 * 6.4 m2 as kg", "3.84 kg\n",
     "{\"value\": 3.8399999999999999, \"unit\": \"kg\"}"},
    {"a share", NULL, "8 %", "8 %\n", "{\"value\": 8, \"unit\": \"%\"}"},
    {"a temperature", NULL, "20 degC + 5 K", "25 degC\n", "{\"value\": 25, \"unit\": \"degC\"}"},
    {"money", NULL, "58 EUR/h * 3 h", "174.00 EUR\n", "{\"value\": 174, \"unit\": \"EUR\"}"},
    {"money of the job", NULL, "a.cost", "991.84 EUR\n",
     "{\"value\": 991.84000000000003, \"unit\": \"EUR\"}"},
    {"money that is not whole", NULL, "10 EUR / 3", "3.33333333333333 EUR\n",
     "{\"value\": 3.3333333333333335, \"unit\": \"EUR\"}"},
    {"a list", NULL, "[1 m, 25 cm]", "[1 m, 0.25 m]\n", "{\"values\": [1, 0.25], \"unit\": \"m\"}"},
    {"a list of the job", NULL, "a.steps.hours", "[1 h, 4.8 h, 2 h]\n",
     "{\"values\": [1, 4.7999999999999998, 2], \"unit\": \"h\"}"},
    {"a list of texts", NULL, "[\"a\", \"b\"]", "[a, b]\n",
     "{\"values\": [{\"text\": \"a\"}, {\"text\": \"b\"}], \"unit\": \"1\"}"},
    {"a list of dates", NULL, "[2027-01-01]", "[2027-01-01]\n",
     "{\"values\": [{\"date\": \"2027-01-01\"}], \"unit\": \"1\"}"},
    {"a list with an error", NULL, "[1 / (budget - budget) * 1 EUR, 2]",
     "[no value: division by zero, 2]\n",
     "{\"values\": [{\"error\": \"divide-by-zero\"}, 2], \"unit\": \"1\"}"},
    {"a range", NULL, "6 .. 8 .. 12 h", "6 h .. 8 h .. 12 h\n",
     "{\"low\": 6, \"likely\": 8, \"high\": 12, \"unit\": \"h\"}"},
    {"a range of two", NULL, "90 min .. 2 h", "1.5 h .. 1.75 h .. 2 h\n",
     "{\"low\": 1.5, \"likely\": 1.75, \"high\": 2, \"unit\": \"h\"}"},
    {"the range of a line", NULL, "maybe", "6 h .. 8 h .. 12 h\n",
     "{\"low\": 6, \"likely\": 8, \"high\": 12, \"unit\": \"h\"}"},
    {"a date", NULL, "2027-03-11 + 3 d", "2027-03-14\n", "{\"date\": \"2027-03-14\"}"},
    {"a moment", NULL, "2027-03-11 + 36 h", "2027-03-12T12:00\n",
     "{\"date\": \"2027-03-12T12:00\"}"},
    {"text", NULL, "\"port \\\"A\\\" \xC3\xA9\"", "port \"A\" \xC3\xA9\n",
     "{\"text\": \"port \\\"A\\\" \xC3\xA9\"}"},
    {"yes", NULL, "2 > 1", "yes\n", "{\"truth\": true}"},
    {"no", NULL, "2 > 1 and no", "no\n", "{\"truth\": false}"},
};

#define NO_COST                                                                 \
    "\"cost\": {\"old\": {\"value\": 1618.6600000000001, \"unit\": \"EUR\"}, "  \
    "\"new\": {\"value\": 1618.6600000000001, \"unit\": \"EUR\"}}, "            \
    "\"price\": {\"old\": {\"value\": 2023.3299999999999, \"unit\": \"EUR\"}, " \
    "\"new\": {\"value\": 2023.3299999999999, \"unit\": \"EUR\"}}, "            \
    "\"hours\": {\"old\": {\"value\": 14.5, \"unit\": \"h\"}, "                 \
    "\"new\": {\"value\": 14.5, \"unit\": \"h\"}}, "                            \
    "\"ready\": {\"old\": {\"date\": \"2027-01-05T11:45\"}, "                   \
    "\"new\": {\"date\": \"2027-01-05T11:45\"}}, \"reason\": \"\", "

static const answer_row changes[] = {
    {"a new line", NULL, "x = 3 kg", "  x   3 kg\n",
     "{\"changed\": \"x\", \"value\": {\"old\": null, \"new\": {\"value\": 3, \"unit\": \"kg\"}}, " NO_COST},
    {"another value", "x = 3 kg", "x = 4 m", "  x   3 kg -> 4 m\n",
     "{\"changed\": \"x\", \"value\": {\"old\": {\"value\": 3, \"unit\": \"kg\"}, "
     "\"new\": {\"value\": 4, \"unit\": \"m\"}}, " NO_COST},
    {"a list", NULL, "x = [1 kg, 500 g]", "  x   [1 kg, 0.5 kg]\n",
     "{\"changed\": \"x\", \"value\": {\"old\": null, "
     "\"new\": {\"values\": [1, 0.5], \"unit\": \"kg\"}}, " NO_COST},
    {"a range", NULL, "x = 1 .. 2 kg", "  x   1 kg .. 1.5 kg .. 2 kg\n",
     "{\"changed\": \"x\", \"value\": {\"old\": null, "
     "\"new\": {\"low\": 1, \"likely\": 1.5, \"high\": 2, \"unit\": \"kg\"}}, " NO_COST},
    {"a line goes", "x = 3 kg", "drop x", "  x   taken out\n",
     "{\"changed\": \"x\", \"value\": {\"old\": {\"value\": 3, \"unit\": \"kg\"}, "
     "\"new\": null}, " NO_COST},
    /* a: cloth 320.00 for 213.33, resin 145.52 for 97.01, labour 360 for 240, overhead 36 for 24:
     * 287.18 more; price 2382.31 = 1905.84 + 248.50 + ... margins rounded by mould: 1279.02 / 0.8
     * = 1598.78, and 783.53. */
    {"plies", NULL, "a.heavy.plies = 6",
     "  a.heavy.plies   4 -> 6\n"
     "  cost    1 618.66 -> 1 905.84 EUR  +287.18 (+17.7 %)\n"
     "  hours   14.5 -> 16.9 h  +2.4 (+16.6 %)\n",
     "{\"changed\": \"a.heavy.plies\", \"value\": {\"old\": {\"value\": 4, \"unit\": \"1\"}, "
     "\"new\": {\"value\": 6, \"unit\": \"1\"}}, "
     "\"cost\": {\"old\": {\"value\": 1618.6600000000001, \"unit\": \"EUR\"}, "
     "\"new\": {\"value\": 1905.8399999999999, \"unit\": \"EUR\"}}, "
     "\"price\": {\"old\": {\"value\": 2023.3299999999999, \"unit\": \"EUR\"}, "
     "\"new\": {\"value\": 2382.3099999999999, \"unit\": \"EUR\"}}, "
     "\"hours\": {\"old\": {\"value\": 14.5, \"unit\": \"h\"}, "
     "\"new\": {\"value\": 16.899999999999999, \"unit\": \"h\"}}, "
     "\"ready\": {\"old\": {\"date\": \"2027-01-05T11:45\"}, "
     "\"new\": {\"date\": \"2027-01-05T11:45\"}}, "
     "\"reason\": \"\", "},
    {"a change that changes nothing", NULL, "a.heavy.plies = 4",
     "  a.heavy.plies   4 -> 4\n  cost, hours and ready date stay as they are\n",
     "{\"changed\": \"a.heavy.plies\", \"value\": {\"old\": {\"value\": 4, \"unit\": \"1\"}, "
     "\"new\": {\"value\": 4, \"unit\": \"1\"}}, " NO_COST},
};

static const answer_row errors[] = {
    {"kinds", NULL, "1 m + 1 kg",
     "<test>:1:7: error: 1 kg is a mass; 1 m is a length: they cannot be added\n"
     "  1 m + 1 kg\n"
     "        ^^^^\n"
     "<test>:1:1: see also: 1 m is a length\n"
     "  1 m + 1 kg\n"
     "  ^^^\n"
     "  try: convert or correct one of them\n"
     "  see: help kind-mismatch\n",
     "{\"error\": {\"code\": \"kind-mismatch\", "
     "\"message\": \"1 kg is a mass; 1 m is a length: they cannot be added\", "
     "\"file\": \"<test>\", \"line\": 1, \"column\": 7, "
     "\"other\": {\"note\": \"1 m is a length\", \"file\": \"<test>\", \"line\": 1, \"column\": 1}, "
     "\"try\": \"convert or correct one of them\"}}"},
    {"no value", NULL, "1 / 0",
     "<test>:1:1: error: no value: division by zero\n"
     "  1 / 0\n"
     "  ^^^^^\n"
     "  try: guard it: if b = 0 then 0 else a / b\n"
     "  see: help divide-by-zero\n",
     "{\"error\": {\"code\": \"divide-by-zero\", \"message\": \"no value: division by zero\", "
     "\"file\": \"<test>\", \"line\": 1, \"column\": 1, "
     "\"try\": \"guard it: if b = 0 then 0 else a / b\"}}"},
};

static void report_words(job_bench *bench, mw_style style, const char *want)
{
    mw_text out = {0};
    assert_int_equal(mw_report_reply(bench->job, &bench->reply, &style, &out), MW_OK);
    assert_string_equal(mw_text_chars(&out), want);
    mw_text_free(&out);
}

static void say_row(job_bench *bench, const answer_row *row)
{
    bench_start(bench, "tests/data/job/two.job");
    bench_say_all(bench, row->say);
    if (bench_say(bench, row->statement) != MW_OK) {
        fail_msg("%s: %s", row->statement, bench->diags.items[0].message);
    }
}

static void check_value(void **state)
{
    const answer_row *row = *state;
    job_bench bench;
    char json[400];
    say_row(&bench, row);
    assert_int_equal(bench.reply.kind, MW_REPLY_VALUE);
    report_words(&bench, (mw_style){.width = 80}, row->words);
    report_words(&bench, (mw_style){.width = 20, .plain = true}, row->words);
    snprintf(json, sizeof json, "%s\n", row->json);
    report_words(&bench, (mw_style){.json = true}, json);
    json_tree tree = json_read(json, strlen(json));
    assert_null(tree.fault);
    json_end(&tree);
    bench_end(&bench);
}

static void check_change(void **state)
{
    const answer_row *row = *state;
    job_bench bench;
    mw_text out = {0};
    say_row(&bench, row);
    assert_int_equal(bench.reply.kind, MW_REPLY_CHANGE);
    report_words(&bench, (mw_style){.width = 80}, row->words);
    mw_style json = {.json = true};
    assert_int_equal(mw_report_reply(bench.job, &bench.reply, &json, &out), MW_OK);
    const char *text = mw_text_chars(&out);
    json_tree tree = json_read(text, out.length);
    assert_null(tree.fault);
    json_end(&tree);
    /* How much was computed is the sheet's business; the two keys close the object. */
    size_t length = strlen(row->json);
    assert_true(out.length > length);
    mw_text head = {0};
    mw_text_add(&head, text, length);
    assert_string_equal(mw_text_chars(&head), row->json);
    unsigned computed = 0;
    unsigned differing = 0;
    int used = 0;
    assert_int_equal(sscanf(text + length, "\"computed\": %u, \"differing\": %u}%n", &computed,
                            &differing, &used),
                     2);
    assert_string_equal(text + length + used, "\n");
    mw_text_free(&head);
    mw_text_free(&out);
    bench_end(&bench);
}

static void check_error(void **state)
{
    const answer_row *row = *state;
    job_bench bench;
    mw_text out = {0};
    bench_start(&bench, "tests/data/job/two.job");
    assert_int_equal(bench_say(&bench, row->statement), MW_FAILED);
    mw_diags_render(&bench.diags, mw_job_sources(bench.job), &out);
    assert_string_equal(mw_text_chars(&out), row->words);
    mw_text_clear(&out);
    mw_diag_json(&bench.diags.items[0], mw_job_sources(bench.job), &out);
    assert_string_equal(mw_text_chars(&out), row->json);
    mw_text_addc(&out, '\n');
    json_tree tree = json_read(mw_text_chars(&out), out.length);
    assert_null(tree.fault);
    json_end(&tree);
    mw_text_free(&out);
    bench_end(&bench);
}

static void counts_on_demand(void **state)
{
    (void)state;
    job_bench bench;
    mw_text out = {0};
    bench_start(&bench, "tests/data/job/two.job");
    assert_int_equal(bench_say(&bench, "x = 1 kg"), MW_OK);
    assert_int_equal(bench_say(&bench, "x = 2 kg"), MW_OK);
    mw_style style = {.width = 80, .count = true};
    assert_int_equal(mw_report_reply(bench.job, &bench.reply, &style, &out), MW_OK);
    unsigned computed = 0;
    unsigned changed = 0;
    assert_int_equal(sscanf(mw_text_chars(&out),
                            "  x   1 kg -> 2 kg\n  computed %u values, %u changed\n", &computed,
                            &changed),
                     2);
    assert_true(computed <= 10); /* nothing of the moulds reads it */
    assert_int_equal(changed, 1);
    mw_text_free(&out);
    bench_end(&bench);
}

/* A change as it stands on a narrow screen, and in sentences. */
typedef struct styled_row {
    const char *name;
    const char *say;
    const char *statement;
    mw_style style;
    const char *words;
} styled_row;

static const styled_row styled[] = {
    {"40 columns",
     NULL,
     "a.heavy.plies = 6",
     {.width = 40},
     "  a.heavy.plies   4 -> 6\n"
     "  cost    1 618.66 -> 1 905.84 EUR\n"
     "          +287.18 (+17.7 %)\n"
     "  hours   14.5 -> 16.9 h  +2.4 (+16.6 %)\n"},
    {"plain",
     NULL,
     "a.heavy.plies = 6",
     {.width = 40, .plain = true},
     "a.heavy.plies: 4 becomes 6\n"
     "cost: 1 618.66 becomes 1 905.84 EUR, +287.18 (+17.7 %)\n"
     "hours: 14.5 becomes 16.9 h, +2.4 (+16.6 %)\n"},
    {"plain, nothing changes",
     NULL,
     "a.heavy.plies = 4",
     {.width = 80, .plain = true},
     "a.heavy.plies: 4 becomes 4\n"
     "cost, hours and ready date stay as they are\n"},
    {"plain, a new line", NULL, "x = 3 kg", {.width = 80, .plain = true}, "x: 3 kg\n"},
    {"plain, taken out", "x = 3 kg", "drop x", {.width = 80, .plain = true}, "x: taken out\n"},
};

static void check_styled(void **state)
{
    const styled_row *row = *state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    bench_say_all(&bench, row->say);
    assert_int_equal(bench_say(&bench, row->statement), MW_OK);
    report_words(&bench, row->style, row->words);
    bench_end(&bench);
}

/* ---- what if ---- */

static const char small_rows[] = "  what if                now         (1)         (2)\n"
                                 "  a.heavy.plies            4           2           6\n"
                                 "  a.thickness mm       2.133       1.067         3.2\n"
                                 "                                  -1.067      +1.067\n"
                                 "                                 -50.0 %     +50.0 %\n"
                                 "  a.mass kg            15.36        7.68       23.04\n"
                                 "                                   -7.68       +7.68\n"
                                 "                                 -50.0 %     +50.0 %\n"
                                 "  a.resin kg           8.084       4.042       12.13\n"
                                 "                                  -4.042      +4.042\n"
                                 "                                 -50.0 %     +50.0 %\n"
                                 "  a.cloth m2           21.33       10.67          32\n"
                                 "                                  -10.67      +10.67\n"
                                 "                                 -50.0 %     +50.0 %\n"
                                 "  a.sessions               3           3           3\n"
                                 "  a.hours h              7.8         5.4        10.2\n"
                                 "                                    -2.4        +2.4\n"
                                 "                                 -30.8 %     +30.8 %\n"
                                 "  a.cost EUR          991.84      704.68    1 279.02\n"
                                 "                                 -287.16     +287.18\n"
                                 "                                 -29.0 %     +29.0 %\n";

static const char record_rows[] = "what if: a.heavy.plies\n"
                                  "now: 4\n"
                                  "(1): 2\n"
                                  "(2): 6\n"
                                  "\n"
                                  "what if: a.thickness mm\n"
                                  "now: 2.133\n"
                                  "(1): 1.067 (-1.067, -50.0 %)\n"
                                  "(2): 3.2 (+1.067, +50.0 %)\n"
                                  "\n";

static const char json_rows[] =
    "{\"what_if\": 2, \"rows\": [{\"name\": \"a.heavy.plies\", \"input\": true, "
    "\"now\": {\"value\": 4, \"unit\": \"1\"}, "
    "\"values\": [{\"value\": 2, \"unit\": \"1\"}, {\"value\": 6, \"unit\": \"1\"}]}, "
    "{\"name\": \"a.thickness\", \"input\": false, "
    "\"now\": {\"value\": 2.1333333333333333, \"unit\": \"mm\"}, "
    "\"values\": [{\"value\": 1.0666666666666667, \"unit\": \"mm\"}, "
    "{\"value\": 3.2000000000000002, \"unit\": \"mm\"}], \"differences\": [-1.0666666666666667, "
    "1.0666666666666667], \"percents\": [-50, 50]}, ";

typedef struct what_if_row {
    const char *name;
    mw_style style;
    const char *begins;
} what_if_row;

static const what_if_row what_ifs[] = {
    {"80 columns", {.width = 80}, small_rows},
    {"200 columns", {.width = 200}, small_rows},
    {"plain", {.width = 80, .plain = true}, record_rows},
    {"20 columns", {.width = 20}, record_rows},
    {"46 columns", {.width = 46}, record_rows},
    {"JSON", {.json = true}, json_rows},
};

static void check_what_if(void **state)
{
    const what_if_row *row = *state;
    job_bench bench;
    mw_text out = {0};
    bench_start(&bench, "tests/data/job/two.job");
    assert_int_equal(bench_say(&bench, "what if a.heavy.plies = 2, 6"), MW_OK);
    assert_int_equal(bench.reply.kind, MW_REPLY_WHAT_IF);
    assert_int_equal(mw_report_reply(bench.job, &bench.reply, &row->style, &out), MW_OK);
    mw_text head = {0};
    assert_true(out.length > strlen(row->begins));
    mw_text_add(&head, mw_text_chars(&out), strlen(row->begins));
    assert_string_equal(mw_text_chars(&head), row->begins);
    if (row->style.json) {
        json_tree tree = json_read(mw_text_chars(&out), out.length);
        assert_null(tree.fault);
        json_end(&tree);
    }
    mw_text_free(&head);
    mw_text_free(&out);
    bench_end(&bench);
}

/* Many alternatives go below one another, each once and in order, at any width. */
static void many_alternatives(void **state)
{
    (void)state;
    static const uint32_t widths[] = {20, 40, 58, 80, 200, 4000};
    job_bench bench;
    mw_text statement = {0};
    mw_text_adds(&statement, "what if a.heavy.share = 0.101");
    for (int i = 2; i <= 64; i++) {
        mw_text_addf(&statement, ", 0.%d", 100 + i);
    }
    bench_start(&bench, "tests/data/job/two.job");
    assert_int_equal(bench_say(&bench, mw_text_chars(&statement)), MW_OK);
    for (size_t w = 0; w < sizeof widths / sizeof *widths; w++) {
        mw_text out = {0};
        mw_style style = {.width = widths[w], .ascii = true};
        assert_int_equal(mw_report_reply(bench.job, &bench.reply, &style, &out), MW_OK);
        const char *at = mw_text_chars(&out);
        for (int i = 1; i <= 64; i++) {
            char head[16];
            snprintf(head, sizeof head, "(%d)", i);
            at = strstr(at, head);
            assert_non_null(at);
        }
        mw_text_free(&out);
    }
    mw_text_free(&statement);
    bench_end(&bench);
}

/* ---- why ---- */

static const char why_words[] =
    "  a.heavy.hours  4.8 h = 0.25 h/m2 * laid * plies   simple.yaml:31\n"
    "      [common practice, no source]\n"
    "    laid  4.8 m2 = area + edge * rim   simple.yaml:8   [area and rim]\n"
    "      edge  8 m   given in the mould's line   two.job:4\n"
    "      rim  100 mm   simple.yaml:6\n"
    "      area  4 m2   given in the mould's line   two.job:4\n"
    "    plies  4   simple.yaml:28\n";

static const char why_plain[] = "a.heavy.hours: 4.8 h\n"
                                "level: 0\n"
                                "formula: 0.25 h/m2 * laid * plies\n"
                                "place: simple.yaml:31\n"
                                "source: common practice, no source\n"
                                "\n"
                                "laid: 4.8 m2\n"
                                "level: 1\n"
                                "formula: area + edge * rim\n"
                                "place: simple.yaml:8\n"
                                "source: area and rim\n"
                                "\n"
                                "edge: 8 m\n"
                                "level: 2\n"
                                "formula: 8 m\n"
                                "note: given in the mould's line\n"
                                "place: two.job:4\n"
                                "\n"
                                "rim: 100 mm\n"
                                "level: 2\n"
                                "formula: 100 mm\n"
                                "place: simple.yaml:6\n"
                                "\n"
                                "area: 4 m2\n"
                                "level: 2\n"
                                "formula: 4 m2\n"
                                "note: given in the mould's line\n"
                                "place: two.job:4\n"
                                "\n"
                                "plies: 4\n"
                                "level: 1\n"
                                "formula: 4\n"
                                "place: simple.yaml:28\n";

static const char why_json[] =
    "{\"why\": [{\"depth\": 0, \"name\": \"a.heavy.plies\", "
    "\"result\": {\"value\": 5, \"unit\": \"1\"}, \"formula\": \"usual + 1\", "
    "\"file\": \"<test>\", \"line\": 1, \"overridden\": true, \"source\": \"\", "
    "\"note\": \"set in the job\"}, "
    "{\"depth\": 1, \"name\": \"a.heavy.plies\", "
    "\"result\": {\"value\": 4, \"unit\": \"1\"}, \"formula\": \"4\", "
    "\"file\": \"tests/data/job/simple.yaml\", \"line\": 28, \"overridden\": false, "
    "\"source\": \"\", \"note\": \"the usual value\"}]}\n";

static void why(void **state)
{
    (void)state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    assert_int_equal(bench_say(&bench, "why a.heavy.hours"), MW_OK);
    assert_int_equal(bench.reply.kind, MW_REPLY_WHY);
    report_words(&bench, (mw_style){.width = 80}, why_words);
    report_words(&bench, (mw_style){.width = 40, .plain = true}, why_plain);
    assert_int_equal(bench_say(&bench, "a.heavy.plies = usual + 1"), MW_OK);
    assert_int_equal(bench_say(&bench, "why a.heavy.plies"), MW_OK);
    report_words(&bench, (mw_style){.json = true}, why_json);
    bench_end(&bench);
}

/* ---- reports of nothing ---- */

static void refused(job_bench *bench, const char *word, const char *argument, mw_code code)
{
    mw_text out = {0};
    mw_style style = {.width = 80};
    mw_request request = {.word = mw_str_of(word),
                          .argument = mw_str_of(argument),
                          .argument_at = {.source = MW_NONE},
                          .style = &style};
    bench_clear(bench);
    mw_status status = mw_report(bench->job, &request, &out, &bench->diags);
    if (status == MW_NOT_FOUND) {
        status = mw_report_list(bench->job, &request, &out, &bench->diags);
    }
    assert_int_equal(status, MW_FAILED);
    assert_int_equal(bench->diags.count, 1);
    assert_int_equal(bench->diags.items[0].code, code);
    assert_int_equal(out.length, 0);
    mw_text_free(&out);
}

static void refusals(void **state)
{
    (void)state;
    job_bench bench;
    bench_start(&bench, NULL);
    refused(&bench, "moulds", "", MW_CODE_NO_MOULDS);
    refused(&bench, "moulds", "a", MW_CODE_UNKNOWN_MOULD);
    refused(&bench, "shop", "", MW_CODE_NO_SHOP);
    bench_end(&bench);
    bench_start(&bench, "tests/data/job/two.job");
    refused(&bench, "cost", "c", MW_CODE_UNKNOWN_MOULD);
    refused(&bench, "steps", "aa", MW_CODE_UNKNOWN_MOULD);
    bench_end(&bench);
}

/* Nothing is said of statements that answer nothing, and of commands, whose answer is the
 * caller's. */
static void nothing_to_say(void **state)
{
    (void)state;
    job_bench bench;
    bench_start(&bench, "tests/data/job/two.job");
    assert_int_equal(bench_say(&bench, "# a remark"), MW_OK);
    report_words(&bench, (mw_style){.width = 80}, "");
    assert_int_equal(bench_say(&bench, "moulds"), MW_OK);
    assert_int_equal(bench.reply.kind, MW_REPLY_COMMAND);
    report_words(&bench, (mw_style){.json = true}, "");
    bench_end(&bench);
}

/* ---- memory ---- */

typedef struct spoken {
    job_bench *bench;
    mw_style style;
    const char *report; /* NULL: the reply */
} spoken;

static support_outcome speak(void *context)
{
    spoken *what = context;
    mw_text out = {0};
    mw_request request = {.word = mw_str_of(what->report ? what->report : ""),
                          .argument = mw_str_of(""),
                          .argument_at = {.source = MW_NONE},
                          .style = &what->style};
    mw_status status = MW_NOT_FOUND;
    if (!what->report) {
        status = mw_report_reply(what->bench->job, &what->bench->reply, &what->style, &out);
    } else if ((status = mw_report(what->bench->job, &request, &out, &what->bench->diags)) ==
               MW_NOT_FOUND) {
        status = mw_report_list(what->bench->job, &request, &out, &what->bench->diags);
    }
    support_fail_never();
    if (status != MW_NO_MEMORY) {
        assert_int_equal(status, MW_OK);
    }
    mw_text_free(&out);
    return status == MW_OK ? SUPPORT_DONE : SUPPORT_NO_MEMORY;
}

static void reply_memory_fails(void **state)
{
    (void)state;
    static const char *const statements[] = {"a.heavy.plies = 6", "what if a.heavy.plies = 2, 6",
                                             "why a.hours",       "maybe",
                                             "[1 m, 2 m]",        "x = [1, 2]"};
    for (size_t i = 0; i < sizeof statements / sizeof *statements; i++) {
        for (int json = 0; json < 2; json++) {
            job_bench bench;
            bench_start(&bench, "tests/data/job/two.job");
            assert_int_equal(bench_say(&bench, statements[i]), MW_OK);
            spoken what = {&bench, {.width = 80, .json = json == 1}, NULL};
            assert_true(support_fail_each_allocation(speak, &what) > 0);
            bench_end(&bench);
        }
    }
}

static const char *const spoken_reports[] = {
    "moulds", "takeoff", "hours",   "waits", "calendar", "cost",    "cautions",
    "shop",   "buying",  "pricing", "lines", "steps",    "recipes", "materials"};

static void report_memory_fails(void **state)
{
    const char *const *report = *state;
    for (int json = 0; json < 2; json++) {
        job_bench bench;
        bench_start(&bench, "tests/data/job/two.job");
        spoken what = {&bench, {.width = 80, .json = json == 1}, *report};
        assert_true(support_fail_each_allocation(speak, &what) > 0);
        bench_end(&bench);
    }
}

int main(void)
{
    test_list list = {0};
    test_add_rows(&list, "value", values, check_value);
    test_add_rows(&list, "change", changes, check_change);
    test_add_rows(&list, "change in style", styled, check_styled);
    test_add_rows(&list, "error", errors, check_error);
    test_add_rows(&list, "what if", what_ifs, check_what_if);
    test_add(&list, many_alternatives);
    test_add(&list, counts_on_demand);
    test_add(&list, why);
    test_add(&list, refusals);
    test_add(&list, nothing_to_say);
    test_add(&list, reply_memory_fails);
    test_add_rows(&list, "no memory", spoken_reports, report_memory_fails);
    return test_run(&list, "report: answers");
}
