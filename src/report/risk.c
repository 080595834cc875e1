/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The answer to `risk` for people: a table, what to promise, why it is later than the plan says. */
#include "risk.h"

#include <math.h>
#include <stdio.h>

/* ---- values ---- */

static bool is_money(mw_job *job, const mw_risk_row *row)
{
    return mw_type_look(mw_job_measure(job), row->type)->exponent[MW_MONEY] == MW_EXPONENT_ONE;
}

static void number_words(mw_job *job, const mw_risk_row *row, double value, mw_text *out)
{
    mw_measure *measure = mw_job_measure(job);
    if (is_money(job, row)) {
        mw_number_fixed(value, mw_currency_digits(measure, mw_money_base_of(measure)), ' ', out);
    } else {
        mw_number_short(value, 5, ' ', out);
    }
}

void risk_value_words(mw_job *job, const mw_risk_row *row, double value, mw_text *out)
{
    if (mw_error_code(value) != MW_CODE_COUNT) {
        mw_text_adds(out, "none");
    } else if (row->type == MW_TYPE_DATE) {
        mw_date_words(floor(value / MW_DAY_S) * MW_DAY_S, out);
    } else {
        number_words(job, row, mw_unit_from_si(mw_job_measure(job), row->unit, value), out);
    }
}

void risk_difference_words(mw_job *job, const mw_risk_row *row, double value, mw_text *out)
{
    if (mw_error_code(value) != MW_CODE_COUNT) {
        mw_text_adds(out, "none");
    } else if (row->type == MW_TYPE_DATE) {
        mw_number_fixed(value / MW_DAY_S, 1, ' ', out);
        mw_text_adds(out, " d");
    } else {
        double shown = value / mw_unit_scale(mw_job_measure(job), row->unit);
        if (is_money(job, row)) {
            number_words(job, row, shown, out);
        } else {
            mw_number_short(shown, 2, ' ', out);
        }
    }
}

void risk_name_words(mw_job *job, const mw_risk_row *row, mw_text *out)
{
    mw_text_add_str(out, row->name);
    if (row->unit != MW_UNIT_ONE && row->type != MW_TYPE_DATE) {
        mw_text_addc(out, ' ');
        mw_unit_words(mw_job_measure(job), row->unit, out);
    }
}

/* ---- the table ---- */

typedef struct cells {
    mw_table *table;
    mw_text text;
    bool lost;
} cells;

static void cell(cells *to)
{
    to->lost = to->lost || to->text.failed;
    mw_table_cell(to->table, (mw_str){mw_text_chars(&to->text), to->text.length});
    mw_text_clear(&to->text);
}

/* The lines of the table: a figure of every row, and how exact it is. */
enum { LINE_NOW, LINE_MEAN, LINE_QUANTILE, LINES = LINE_QUANTILE + MW_RISK_SHOWN };

static mw_risk_figure figure_of(const mw_risk_row *row, uint32_t line)
{
    const mw_risk_figure now = {row->now, (double)NAN};
    return line == LINE_NOW    ? now
           : line == LINE_MEAN ? row->mean
                               : row->quantiles[line - LINE_QUANTILE];
}

static void line_words(uint32_t line, mw_text *out)
{
    if (line == LINE_NOW) {
        mw_text_adds(out, "as it stands");
    } else if (line == LINE_MEAN) {
        mw_text_adds(out, "mean");
    } else {
        mw_text_addf(out, "P%.0f", mw_risk_shown[line - LINE_QUANTILE] * 100.0);
    }
}

/* Rows of the answer that stand side by side. */
typedef struct columns {
    const mw_risk_row *rows;
    uint32_t count;
} columns;

static void add_line(mw_job *job, columns of, uint32_t line, cells *to)
{
    line_words(line, &to->text);
    cell(to);
    for (uint32_t r = 0; r < of.count; r++) {
        risk_value_words(job, &of.rows[r], figure_of(&of.rows[r], line).value, &to->text);
        cell(to);
    }
    if (line == LINE_NOW) {
        return;
    }
    cell(to);
    for (uint32_t r = 0; r < of.count; r++) {
        double error = figure_of(&of.rows[r], line).error;
        if (mw_error_code(error) == MW_CODE_COUNT) {
            mw_text_adds(&to->text, "+-");
            risk_difference_words(job, &of.rows[r], error, &to->text);
        }
        cell(to);
    }
}

static mw_status block(mw_job *job, columns of, const mw_style *style, mw_text *out)
{
    cells to = {.table = mw_table_new()};
    if (!to.table) {
        return MW_NO_MEMORY;
    }
    mw_table_column(to.table, "risk", MW_LEFT);
    for (uint32_t r = 0; r < of.count; r++) {
        risk_name_words(job, &of.rows[r], &to.text);
        mw_table_column(to.table, mw_text_chars(&to.text), MW_RIGHT);
        to.lost = to.lost || to.text.failed;
        mw_text_clear(&to.text);
    }
    for (uint32_t line = 0; line < LINES; line++) {
        add_line(job, of, line, &to);
    }
    mw_status status = to.lost ? MW_NO_MEMORY : mw_table_write(to.table, style, out);
    mw_text_free(&to.text);
    mw_table_free(to.table);
    return status;
}

enum { LABEL_COLUMNS = 16, VALUE_COLUMNS = 15 };

static mw_status table(mw_job *job, const mw_risk_reply *reply, const mw_style *style, mw_text *out)
{
    uint32_t room = style->width > LABEL_COLUMNS + VALUE_COLUMNS
                        ? (style->width - LABEL_COLUMNS) / VALUE_COLUMNS
                        : 1;
    mw_status status = MW_OK;
    for (uint32_t from = 0; from < reply->row_count && status == MW_OK; from += room) {
        uint32_t left = reply->row_count - from;
        mw_text_adds(out, from ? "\n" : "");
        status = block(job, (columns){reply->rows + from, left < room ? left : room}, style, out);
    }
    return status;
}

/* ---- sentences ---- */

static void percent(double share, mw_text *out)
{
    mw_number_fixed(share * 100.0, share > 0.0 && share < 0.0995 ? 1 : 0, ' ', out);
    mw_text_adds(out, " %");
}

static void odds_words(mw_job *job, const mw_risk_reply *reply, mw_text *out)
{
    if (!isnan(reply->promise_s)) {
        mw_text_adds(out, "  promise ");
        mw_date_words(reply->promise_s, out);
        mw_text_adds(out, ": ready by then in ");
        percent(reply->confidence, out);
        mw_text_adds(out, " of the samples\n");
    }
    if (isnan(reply->promise_s) && reply->ready_row != MW_NONE) {
        mw_text_adds(out, "  no date can be promised with ");
        percent(reply->confidence, out);
        mw_text_addf(out, ": in %u of %u samples something can never be done as it stands\n",
                     (unsigned)reply->rows[reply->ready_row].lost, (unsigned)reply->samples);
    }
    if (!isnan(reply->by_s)) {
        mw_text_adds(out, "  ready by ");
        mw_date_words(reply->by_s, out);
        mw_text_adds(out, ": ");
        percent(reply->by_odds.value, out);
        mw_text_adds(out, " +-");
        percent(reply->by_odds.error, out);
        mw_text_addc(out, '\n');
    }
    if (!isnan(reply->within)) {
        mw_text_addf(out, "  %.*s within ", (int)reply->within_name.length, reply->within_name.at);
        for (uint32_t r = 0; r < reply->row_count; r++) {
            if (mw_str_equal(reply->rows[r].name, reply->within_name)) {
                reply_short_words(job, reply->within, reply->rows[r].type, reply->rows[r].unit,
                                  out);
            }
        }
        mw_text_adds(out, ": ");
        percent(reply->within_odds.value, out);
        mw_text_adds(out, " +-");
        percent(reply->within_odds.error, out);
        mw_text_addc(out, '\n');
    }
}

/* `hull_stbd in 61 %, lid in 30 %` */
static void setters_words(mw_job *job, const mw_risk_reply *reply, mw_text *out)
{
    uint32_t shown = reply->setter_count < 3 ? reply->setter_count : 3;
    for (uint32_t i = 0; i < shown; i++) {
        mw_str name = mw_job_mould(job, reply->setters[i].mould).name;
        mw_text_addf(out, "%s%.*s in ", i ? ", " : "", (int)name.length, name.at);
        percent(reply->setters[i].share, out);
    }
}

#define NOTHING_D 0.05

/* Why the expected date is not that of the plan: ranges that lean, and the last of several. */
static void merge_words(mw_job *job, const mw_risk_reply *reply, mw_text *out)
{
    const mw_risk_row *row = &reply->rows[reply->ready_row];
    double lean_d = (row->means - row->now) / MW_DAY_S;
    double merge_d = (row->mean.value - row->means) / MW_DAY_S;
    double all_d = lean_d + merge_d;
    if (!isfinite(all_d)) {
        return;
    }
    if (fabs(all_d) < NOTHING_D) {
        mw_text_adds(out, "  on average it is ready when the plan says\n");
    } else {
        mw_text_addf(out, "  on average it is ready %.1f d %s than the plan says:\n", fabs(all_d),
                     all_d > 0.0 ? "later" : "earlier");
        mw_text_addf(out, "    %+.1f d, since ranges reach further to one side than to the other\n",
                     lean_d);
        mw_text_addf(
            out,
            "    %+.1f d from what goes on side by side, where the latest counts, and from "
            "shifts\n",
            merge_d);
    }
    if (reply->setter_count > 0) {
        mw_text_adds(out, "  the last mould to be ready: ");
        setters_words(job, reply, out);
        mw_text_addc(out, '\n');
    }
}

/* The steps that set the date in the most samples, a line for those that do so about equally often. */
static void chain_words(mw_job *job, const mw_risk_reply *reply, const mw_style *style,
                        mw_text *out)
{
    enum { LINES_SHOWN = 8 };
    uint32_t i = 0;
    mw_text_adds(out,
                 reply->chain_count > 0 ? "\n  on the chain of work that sets the date\n" : "");
    for (uint32_t line = 0; line < LINES_SHOWN && i < reply->chain_count; line++) {
        mw_text text = {0};
        const double share = reply->chain[i].share;
        percent(share, &text);
        for (size_t k = text.length; k < 7; k++) {
            mw_text_addc(out, ' ');
        }
        mw_text_adds(out, mw_text_chars(&text));
        mw_text_adds(out, " ");
        mw_text_clear(&text);
        size_t used = 8;
        bool first = true;
        for (; i < reply->chain_count &&
               lround(100.0 * reply->chain[i].share) == lround(100.0 * share);
             i++) {
            const mw_mould_view of = mw_job_mould(job, reply->chain[i].mould);
            const mw_str step = of.recipe->steps[reply->chain[i].step].name;
            const size_t length = of.name.length + step.length + 3;
            const bool broken = !first && used + length > style->width;
            mw_text_adds(out, first ? " " : broken ? ",\n         " : ", ");
            used = (broken ? 8 : used) + length;
            mw_text_addf(out, "%.*s.%.*s", (int)of.name.length, of.name.at, (int)step.length,
                         step.at);
            first = false;
        }
        mw_text_addc(out, '\n');
        mw_text_free(&text);
    }
}

static void lost_words(const mw_risk_reply *reply, mw_text *out)
{
    for (uint32_t r = 0; r < reply->row_count; r++) {
        const mw_risk_row *row = &reply->rows[r];
        if (row->lost > 0) {
            mw_text_addf(out, "  %.*s has no value in %u of the samples: its row leaves them out\n",
                         (int)row->name.length, row->name.at, (unsigned)row->lost);
        }
    }
}

static mw_status all_words(mw_job *job, const mw_risk_reply *reply, const mw_style *style,
                           mw_text *out)
{
    mw_text_addf(out, "  %u samples of %u uncertain input%s, seed %llu%s\n",
                 (unsigned)reply->samples, (unsigned)reply->input_count,
                 reply->input_count == 1 ? "" : "s", (unsigned long long)reply->seed,
                 reply->samples < reply->asked ? "; stopped before the rest" : "");
    mw_status status = table(job, reply, style, out);
    odds_words(job, reply, out);
    if (reply->ready_row != MW_NONE) {
        merge_words(job, reply, out);
    }
    lost_words(reply, out);
    if (status == MW_OK && reply->drives) {
        status = risk_drives(job, reply, style, out);
        chain_words(job, reply, style, out);
    }
    for (uint32_t r = 0; reply->chart && r < reply->row_count; r++) {
        risk_chart(job, &reply->rows[r], style, out);
    }
    return status;
}

/* One sample: statements, then its figures as remarks, so that all of it can be pasted. */
static void sample_words(mw_job *job, const mw_risk_reply *reply, mw_text *out)
{
    mw_text_addf(out, "# sample %u of seed %llu\n", (unsigned)reply->sample,
                 (unsigned long long)reply->seed);
    for (uint32_t i = 0; i < reply->line_count; i++) {
        mw_text_add_str(out, reply->lines[i]);
        mw_text_addc(out, '\n');
    }
    for (uint32_t r = 0; r < reply->row_count; r++) {
        mw_text_addf(out, "# %.*s ", (int)reply->rows[r].name.length, reply->rows[r].name.at);
        risk_value_words(job, &reply->rows[r], reply->rows[r].mean.value, out);
        if (reply->rows[r].unit != MW_UNIT_ONE && reply->rows[r].type != MW_TYPE_DATE) {
            mw_text_addc(out, ' ');
            mw_unit_words(mw_job_measure(job), reply->rows[r].unit, out);
        }
        mw_text_addc(out, '\n');
    }
}

mw_status mw_report_risk(mw_job *job, const mw_request *request, mw_risk_picture *picture,
                         mw_text *out, mw_diags *diags)
{
    *picture = (mw_risk_picture){0};
    mw_risk_reply reply;
    mw_status status = mw_job_risk(job, request->argument_at, &reply, diags);
    if (status != MW_OK) {
        return status;
    }
    if (request->style->json) {
        risk_json(job, &reply, out);
    } else if (reply.sample > 0) {
        sample_words(job, &reply, out);
    } else {
        status = all_words(job, &reply, request->style, out);
    }
    if (status == MW_OK && reply.chart_file.length > 0) {
        picture->file = reply.chart_file;
        picture->paper = risk_picture(job, &reply);
        status = picture->paper ? MW_OK : MW_NO_MEMORY;
    }
    return out->failed ? MW_NO_MEMORY : status;
}
