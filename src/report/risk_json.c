/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The answer to `risk` as JSON. */
#include "risk.h"

#include <math.h>

static void key_value(mw_job *job, const mw_risk_row *row, const char *key, double value,
                      mw_json *json)
{
    mw_json_key(json, key);
    value_json(job,
               isnan(value) && mw_error_code(value) == MW_CODE_COUNT
                   ? mw_error_value(MW_CODE_NOT_A_VALUE)
                   : value,
               row->type, row->unit, json);
}

/* A number, or null where there is none. */
static void number(const char *key, double value, mw_json *json)
{
    mw_json_key(json, key);
    if (isfinite(value)) {
        mw_json_add_number(json, value);
    } else {
        mw_json_add_null(json);
    }
}

/* Standard errors and deviations: in the unit of the row, days for dates. */
static double apart(mw_job *job, const mw_risk_row *row, double value)
{
    return row->type == MW_TYPE_DATE ? value / MW_DAY_S
                                     : value / mw_unit_scale(mw_job_measure(job), row->unit);
}

static void row_json(mw_job *job, const mw_risk_row *row, mw_json *json)
{
    mw_json_open(json, '{');
    mw_json_key(json, "name");
    mw_json_add_string(json, row->name);
    key_value(job, row, "now", row->now, json);
    key_value(job, row, "at_means", row->means, json);
    key_value(job, row, "mean", row->mean.value, json);
    number("mean_error", apart(job, row, row->mean.error), json);
    number("deviation", apart(job, row, row->deviation), json);
    key_value(job, row, "low", row->low, json);
    key_value(job, row, "high", row->high, json);
    mw_json_key(json, "quantiles");
    mw_json_open(json, '[');
    for (uint32_t q = 0; q < MW_RISK_SHOWN; q++) {
        mw_json_open(json, '{');
        number("share", mw_risk_shown[q], json);
        key_value(job, row, "at", row->quantiles[q].value, json);
        number("error", apart(job, row, row->quantiles[q].error), json);
        mw_json_close(json, '}');
    }
    mw_json_close(json, ']');
    mw_json_key(json, "lost");
    mw_json_add_integer(json, row->lost);
    mw_json_close(json, '}');
}

static void odds_json(const char *key, mw_risk_figure odds, mw_json *json)
{
    mw_json_key(json, key);
    mw_json_open(json, '{');
    number("odds", odds.value, json);
    number("error", odds.error, json);
    mw_json_close(json, '}');
}

static void date_json(mw_job *job, const mw_risk_reply *reply, mw_json *json)
{
    if (!isnan(reply->promise_s)) {
        mw_json_key(json, "promise");
        mw_json_open(json, '{');
        number("confidence", reply->confidence, json);
        mw_json_key(json, "at");
        value_json(job, reply->promise_s, MW_TYPE_DATE, MW_UNIT_ONE, json);
        mw_json_close(json, '}');
    }
    if (!isnan(reply->by_s)) {
        odds_json("by", reply->by_odds, json);
    }
    if (!isnan(reply->within)) {
        odds_json("within", reply->within_odds, json);
    }
    mw_json_key(json, "last");
    mw_json_open(json, '[');
    for (uint32_t i = 0; i < reply->setter_count; i++) {
        mw_json_open(json, '{');
        mw_json_key(json, "mould");
        mw_json_add_string(json, mw_job_mould(job, reply->setters[i].mould).name);
        number("share", reply->setters[i].share, json);
        mw_json_close(json, '}');
    }
    mw_json_close(json, ']');
    if (!reply->drives) {
        return;
    }
    mw_json_key(json, "chain");
    mw_json_open(json, '[');
    for (uint32_t i = 0; i < reply->chain_count; i++) {
        const mw_mould_view of = mw_job_mould(job, reply->chain[i].mould);
        mw_json_open(json, '{');
        mw_json_key(json, "mould");
        mw_json_add_string(json, of.name);
        mw_json_key(json, "step");
        mw_json_add_string(json, of.recipe->steps[reply->chain[i].step].name);
        number("share", reply->chain[i].share, json);
        mw_json_close(json, '}');
    }
    mw_json_close(json, ']');
}

static void figure_json(const char *key, mw_risk_figure of, mw_json *json)
{
    mw_json_key(json, key);
    mw_json_open(json, '{');
    number("share", of.value, json);
    number("error", of.error, json);
    mw_json_close(json, '}');
}

static void input_json(mw_job *job, const mw_risk_reply *reply, const mw_risk_input_view *input,
                       mw_json *json)
{
    mw_json_open(json, '{');
    mw_json_key(json, "name");
    mw_json_add_string(json, input->name);
    mw_json_key(json, "low");
    value_json(job, input->low, input->type, input->unit, json);
    mw_json_key(json, "high");
    value_json(job, input->high, input->type, input->unit, json);
    mw_json_key(json, "drives");
    mw_json_open(json, '[');
    for (uint32_t r = 0; input->low_swing && r < reply->row_count; r++) {
        mw_json_open(json, '{');
        mw_json_key(json, "name");
        mw_json_add_string(json, reply->rows[r].name);
        key_value(job, &reply->rows[r], "at_low", input->low_swing[r], json);
        key_value(job, &reply->rows[r], "at_high", input->high_swing[r], json);
        if (input->indices) {
            figure_json("first_order", input->indices[r].first, json);
            figure_json("total", input->indices[r].total, json);
        }
        mw_json_close(json, '}');
    }
    mw_json_close(json, ']');
    mw_json_close(json, '}');
}

static void sample_json(mw_job *job, const mw_risk_reply *reply, mw_json *json)
{
    mw_json_key(json, "risk_sample");
    mw_json_add_integer(json, reply->sample);
    mw_json_key(json, "seed");
    mw_json_add_integer(json, (int64_t)reply->seed);
    mw_json_key(json, "lines");
    mw_json_open(json, '[');
    for (uint32_t i = 0; i < reply->line_count; i++) {
        mw_json_add_string(json, reply->lines[i]);
    }
    mw_json_close(json, ']');
    mw_json_key(json, "figures");
    mw_json_open(json, '[');
    for (uint32_t r = 0; r < reply->row_count; r++) {
        mw_json_open(json, '{');
        mw_json_key(json, "name");
        mw_json_add_string(json, reply->rows[r].name);
        key_value(job, &reply->rows[r], "at", reply->rows[r].mean.value, json);
        mw_json_close(json, '}');
    }
    mw_json_close(json, ']');
}

static void all_json(mw_job *job, const mw_risk_reply *reply, mw_json *json)
{
    mw_json_key(json, "risk");
    mw_json_add_integer(json, reply->samples);
    mw_json_key(json, "asked");
    mw_json_add_integer(json, reply->asked);
    mw_json_key(json, "seed");
    mw_json_add_integer(json, (int64_t)reply->seed);
    mw_json_key(json, "figures");
    mw_json_open(json, '[');
    for (uint32_t r = 0; r < reply->row_count; r++) {
        row_json(job, &reply->rows[r], json);
    }
    mw_json_close(json, ']');
    date_json(job, reply, json);
    mw_json_key(json, "inputs");
    mw_json_open(json, '[');
    for (uint32_t i = 0; i < reply->input_count; i++) {
        input_json(job, reply, &reply->inputs[i], json);
    }
    mw_json_close(json, ']');
}

void risk_json(mw_job *job, const mw_risk_reply *reply, mw_text *out)
{
    mw_json json = {.out = out};
    mw_json_open(&json, '{');
    if (reply->sample > 0) {
        sample_json(job, reply, &json);
    } else {
        all_json(job, reply, &json);
    }
    mw_json_close(&json, '}');
    mw_text_addc(out, '\n');
}
