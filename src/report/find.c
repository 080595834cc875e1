/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The answer to `find`: where the condition holds, or the nearest. */
#include "reply.h"

#include <math.h>

#include "mouldwright/job_find.h"

static void input_words(mw_job *job, const mw_find_reply *of, double value, mw_text *out)
{
    reply_short_words(job, value, of->type, of->unit, out);
}

/* `at 6: job.cost 69 120 EUR` */
static void point_words(mw_job *job, const mw_find_reply *of, const mw_find_point *at, mw_text *out)
{
    mw_text_adds(out, "    at ");
    input_words(job, of, at->value, out);
    mw_text_addf(out, ": %.*s is ", (int)of->left.length, of->left.at);
    reply_short_words(job, at->left, of->left_type, of->left_unit, out);
    mw_text_addc(out, '\n');
}

static bool is_equality(const mw_find_reply *of)
{
    return mw_str_is(of->condition, "=");
}

static void stretch_words(mw_job *job, const mw_find_reply *of, const mw_find_stretch *at,
                          mw_text *out)
{
    bool point = at->from.value == at->until.value;
    mw_text_adds(out, "  ");
    if (is_equality(of) && !point) {
        mw_text_adds(out, "jumps over it between ");
        input_words(job, of, at->from.value, out);
        mw_text_adds(out, " and ");
        input_words(job, of, at->until.value, out);
    } else {
        input_words(job, of, at->from.value, out);
        if (!point) {
            mw_text_adds(out, " .. ");
            input_words(job, of, at->until.value, out);
        }
        mw_text_adds(out, at->from_edge && at->until_edge ? ": all of what was searched" : "");
    }
    mw_text_addc(out, '\n');
    point_words(job, of, &at->from, out);
    if (!point) {
        point_words(job, of, &at->until, out);
    }
}

static void all_words(mw_job *job, const mw_find_reply *of, mw_text *out)
{
    mw_text_addf(out, "  %.*s for which %.*s %.*s %.*s", (int)of->path.length, of->path.at,
                 (int)of->left.length, of->left.at, (int)of->condition.length, of->condition.at,
                 (int)of->right.length, of->right.at);
    if (isfinite(of->now.value)) {
        mw_text_adds(out, "; now ");
        input_words(job, of, of->now.value, out);
    }
    mw_text_addc(out, '\n');
    for (uint32_t i = 0; i < of->stretch_count; i++) {
        stretch_words(job, of, &of->stretches[i], out);
    }
    if (of->stretch_count == 0) {
        mw_text_adds(out, "  none from ");
        input_words(job, of, of->low, out);
        mw_text_adds(out, " to ");
        input_words(job, of, of->high, out);
        mw_text_adds(out, isnan(of->nearest.value) ? "; it has no value anywhere\n"
                                                   : "; the nearest is\n");
        if (!isnan(of->nearest.value)) {
            point_words(job, of, &of->nearest, out);
        }
    }
    mw_text_addf(out, "  %u values tried%s\n", (unsigned)of->tried,
                 of->whole ? ", whole numbers only" : "");
}

static void point_json(mw_job *job, const mw_find_reply *of, const mw_find_point *at, mw_json *json)
{
    mw_json_open(json, '{');
    mw_json_key(json, "at");
    value_json(job, at->value, of->type, of->unit, json);
    mw_json_key(json, "left");
    value_json(job, at->left, of->left_type, of->left_unit, json);
    mw_json_key(json, "right");
    value_json(job, at->right, of->left_type, of->left_unit, json);
    mw_json_close(json, '}');
}

static void all_json(mw_job *job, const mw_find_reply *of, mw_text *out)
{
    mw_json json = {.out = out};
    mw_json_open(&json, '{');
    mw_json_key(&json, "find");
    mw_json_add_string(&json, of->path);
    mw_json_key(&json, "condition");
    mw_json_add_string(&json, of->condition);
    mw_json_key(&json, "found");
    mw_json_open(&json, '[');
    for (uint32_t i = 0; i < of->stretch_count; i++) {
        mw_json_open(&json, '{');
        mw_json_key(&json, "from");
        point_json(job, of, &of->stretches[i].from, &json);
        mw_json_key(&json, "until");
        point_json(job, of, &of->stretches[i].until, &json);
        mw_json_close(&json, '}');
    }
    mw_json_close(&json, ']');
    mw_json_key(&json, "nearest");
    if (isnan(of->nearest.value)) {
        mw_json_add_null(&json);
    } else {
        point_json(job, of, &of->nearest, &json);
    }
    mw_json_key(&json, "tried");
    mw_json_add_integer(&json, of->tried);
    mw_json_key(&json, "whole");
    mw_json_add_truth(&json, of->whole);
    mw_json_close(&json, '}');
    mw_text_addc(out, '\n');
}

mw_status mw_report_find(mw_job *job, const mw_request *request, mw_text *out, mw_diags *diags)
{
    mw_find_reply reply;
    mw_status status = mw_job_find(job, request->argument_at, &reply, diags);
    if (status == MW_OK && request->style->json) {
        all_json(job, &reply, out);
    } else if (status == MW_OK) {
        all_words(job, &reply, out);
    }
    return out->failed ? MW_NO_MEMORY : status;
}
