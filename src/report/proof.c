/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The three verdicts, never mixed: planned, proved impossible, none found yet. And the bound beside a plan. */
#include "proof.h"

#include <math.h>

#include "figures.h"
#include "reply.h"

static const char *verdict_word(mw_plan_verdict verdict)
{
    switch (verdict) {
    case MW_PLAN_PLANNED:
        return "planned";
    case MW_PLAN_IMPOSSIBLE:
        return "impossible";
    case MW_PLAN_NONE_FOUND:
        return "none_found";
    }
    return "";
}

static bool is_best(const mw_plan_outcome *of)
{
    return of->verdict == MW_PLAN_PLANNED && of->bound_s >= of->last_s;
}

double proof_gap(const mw_job *job, const mw_plan_outcome *of)
{
    double start_s = mw_job_total(job, "job.start");
    if (of->verdict != MW_PLAN_PLANNED || !(of->bound_s > start_s)) {
        return (double)NAN;
    }
    return is_best(of) ? 0.0 : (of->last_s - of->bound_s) / (of->bound_s - start_s);
}

void proof_words(const mw_job *job, const mw_plan_outcome *of, mw_text *out)
{
    switch (of->verdict) {
    case MW_PLAN_PLANNED:
        if (isinf(of->bound_s)) {
            mw_text_adds(out, "in the order that was adopted");
            return;
        }
        if (is_best(of)) {
            mw_text_adds(out, "proven best");
            return;
        }
        mw_text_adds(out, "not before ");
        mw_date_day_words(of->bound_s, out);
        if (isfinite(proof_gap(job, of))) {
            mw_text_addf(out, "; within %.1f %%", ceil(proof_gap(job, of) * 1000.0) / 10.0);
        }
        return;
    case MW_PLAN_IMPOSSIBLE:
        mw_text_adds(out, "proved impossible: no plan does all and keeps every window");
        return;
    case MW_PLAN_NONE_FOUND:
        mw_text_adds(out, "none found yet that does all and keeps every window, none excluded");
        return;
    }
}

static mw_str proof_text(report *in, const mw_plan_outcome *of, mw_str lead)
{
    mw_text text = {0};
    mw_text_add_str(&text, lead);
    proof_words(in->job, of, &text);
    return report_take(in, &text);
}

void proof_json(mw_job *job, const mw_plan_outcome *of, mw_json *json)
{
    mw_unit one = MW_UNIT_ONE;
    bool planned = of->verdict == MW_PLAN_PLANNED;
    mw_json_key(json, "verdict");
    mw_json_add_string(json, mw_str_of(verdict_word(of->verdict)));
    mw_json_key(json, "not_before");
    if (isfinite(of->bound_s)) {
        value_json(job, of->bound_s, MW_TYPE_DATE, one, json);
    } else {
        mw_json_add_null(json);
    }
    mw_json_key(json, "within");
    if (planned && isfinite(proof_gap(job, of))) {
        value_json(job, proof_gap(job, of), MW_TYPE_NUMBER, one, json);
    } else {
        mw_json_add_null(json);
    }
    mw_json_key(json, "proven_best");
    mw_json_add_truth(json, is_best(of));
    mw_json_key(json, "tried");
    mw_json_add_integer(json, (int64_t)of->schedules);
}

void report_proof(report *in, mw_str lead)
{
    mw_plan_outcome of;
    if (!mw_job_plan(in->job, &of)) {
        return;
    }
    in->proof = of;
    in->has_proof = true;
    bool fails = of.verdict != MW_PLAN_PLANNED;
    report_note(in, fails, proof_text(in, &of, fails ? mw_str_of("the plan: ") : lead));
}

/* The ready date before and after. */
static void ready_json(mw_job *job, const mw_reply *reply, mw_json *json)
{
    mw_json_key(json, "ready");
    mw_json_open(json, '{');
    mw_json_key(json, "old");
    value_json(job, reply->before.ready_s, MW_TYPE_DATE, MW_UNIT_ONE, json);
    mw_json_key(json, "new");
    value_json(job, reply->after.ready_s, MW_TYPE_DATE, MW_UNIT_ONE, json);
    mw_json_close(json, '}');
}

static void improved_json(mw_job *job, const mw_reply *reply, const mw_plan_outcome *of,
                          mw_text *out)
{
    mw_json json = {.out = out};
    mw_json_open(&json, '{');
    mw_json_key(&json, "improved");
    mw_json_add_truth(&json, reply->after.ready_s < reply->before.ready_s);
    ready_json(job, reply, &json);
    mw_json_key(&json, "plan");
    mw_json_open(&json, '{');
    proof_json(job, of, &json);
    mw_json_close(&json, '}');
    mw_json_close(&json, '}');
    mw_text_addc(out, '\n');
}

mw_status mw_report_improved(mw_job *job, const mw_reply *reply, const mw_style *style,
                             mw_text *out)
{
    mw_plan_outcome of = {0};
    if (!mw_job_plan(job, &of)) {
        return MW_FAILED;
    }
    if (style->json) {
        improved_json(job, reply, &of, out);
        return out->failed ? MW_NO_MEMORY : MW_OK;
    }
    mw_status status = mw_report_reply(job, reply, style, out);
    bool same = reply->before.ready_s == reply->after.ready_s;
    const char *better = is_best(&of) ? "there is no better one; " : "no better one found; ";
    mw_text_addf(out, "  %stried %llu plans: ", same ? better : "",
                 (unsigned long long)of.schedules);
    proof_words(job, &of, out);
    mw_text_addc(out, '\n');
    return out->failed ? MW_NO_MEMORY : status;
}

static void adopted_json(mw_job *job, const mw_reply *reply, uint32_t count, uint32_t held,
                         mw_text *out)
{
    mw_json json = {.out = out};
    mw_json_open(&json, '{');
    mw_json_key(&json, "adopted");
    mw_json_add_integer(&json, count);
    mw_json_key(&json, "held");
    mw_json_add_integer(&json, held);
    ready_json(job, reply, &json);
    mw_json_close(&json, '}');
    mw_text_addc(out, '\n');
}

mw_status mw_report_adopted(mw_job *job, const mw_reply *reply, const mw_style *style, mw_text *out)
{
    uint32_t held = 0;
    uint32_t count = mw_job_kept(job, &held);
    if (style->json) {
        adopted_json(job, reply, count, held, out);
        return out->failed ? MW_NO_MEMORY : MW_OK;
    }
    mw_status status = mw_report_reply(job, reply, style, out);
    mw_text_addf(out, "  the order of %u sessions is kept", (unsigned)count);
    if (held > 0) {
        mw_text_addf(out, "; %u %s not begun before the plan does, for the window behind",
                     (unsigned)held, held == 1 ? "is" : "are");
    }
    mw_text_adds(out, "\n  `restore job.order` gives it up\n");
    return out->failed ? MW_NO_MEMORY : status;
}
