/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Derivations in the costing: where the offer, and the hours of each recipe's steps, come from. A recipe's formulas are
 * shown once, with the figures of the first mould that it makes. */
#include "paper.h"
#include "reply.h"

#define DEPTH_MOST 1

/* The formula on one line. */
static mw_str one_line(writer *to, mw_str formula)
{
    mw_text words = {0};
    bool blank = true;
    for (size_t i = 0; i < formula.length; i++) {
        const bool space = formula.at[i] == '\n' || formula.at[i] == ' ' || formula.at[i] == '\t';
        if (!space) {
            mw_text_addc(&words, formula.at[i]);
        } else if (!blank) {
            mw_text_addc(&words, ' ');
        }
        blank = space;
    }
    return report_take(to->in, &words);
}

static void add_node(writer *to, const mw_why_node *node)
{
    mw_text value = {0};
    reply_short_words(to->in->job, node->value, node->type, node->unit, &value);
    paper_text(to, node->depth == 0 ? node->full : node->name);
    paper_text(to, report_take(to->in, &value));
    paper_text(to, one_line(to, node->formula));
    paper_text(to, node->note.length > 0 && node->overridden ? node->note : node->source);
}

/* The top and what it reads, without what is nothing by rule. */
static mw_status derive(writer *to, mw_str name)
{
    mw_reply reply;
    mw_sources *sources = mw_job_sources(to->in->job);
    const mw_str words = report_text(to->in, "why %.*s", (int)name.length, name.at);
    const uint32_t source = mw_sources_add(sources, mw_str_of("<costing>"), words);
    if (source == MW_NONE) {
        return MW_NO_MEMORY;
    }
    const mw_span all = {source, 0, (uint32_t)words.length};
    const mw_status status = mw_job_say(to->in->job, all, &reply, to->in->diags);
    for (uint32_t i = 0; status == MW_OK && i < reply.node_count; i++) {
        const mw_why_node *node = &reply.nodes[i];
        if (node->depth <= DEPTH_MOST && (node->depth == 0 || node->value != 0.0)) {
            add_node(to, node);
        }
    }
    mw_sources_drop_last(sources, source);
    return status;
}

static void begin_table(writer *to, mw_str title)
{
    static const struct {
        const char *head;
        bool right;
    } columns[] = {{"", false}, {"value", true}, {"is", false}, {"rests on", false}};
    mw_paper_table(to->paper, title);
    for (size_t i = 0; i < sizeof columns / sizeof *columns; i++) {
        mw_paper_column_add(to->paper, mw_str_of(columns[i].head), columns[i].right);
    }
}

/* Whether no mould before it is made by the same recipe. */
static bool first_of_recipe(const mw_job *job, uint32_t mould)
{
    const mw_recipe *recipe = mw_job_mould(job, mould).recipe;
    for (uint32_t m = 0; m < mould; m++) {
        if (mw_job_mould(job, m).recipe == recipe) {
            return false;
        }
    }
    return true;
}

mw_status paper_why(writer *to)
{
    static const char *const totals[] = {"job.offer", "job.tax", "job.total"};
    mw_job *job = to->in->job;
    mw_status status = MW_OK;
    mw_paper_heading(to->paper, 1, mw_str_of("Where it comes from"));
    begin_table(to, mw_str_of("the offer"));
    for (size_t i = 0; status == MW_OK && i < sizeof totals / sizeof *totals; i++) {
        status = derive(to, mw_str_of(totals[i]));
    }
    for (uint32_t m = 0; status == MW_OK && m < mw_job_mould_count(job); m++) {
        const mw_mould_view mould = mw_job_mould(job, m);
        if (first_of_recipe(job, m)) {
            mw_text title = {0};
            mw_text_adds(&title, "hours by the recipe ");
            paper_name(mould.recipe->name, &title);
            mw_text_adds(&title, ", as in ");
            paper_name(mould.name, &title);
            begin_table(to, report_take(to->in, &title));
            status = derive(
                to, report_text(to->in, "%.*s.hours", (int)mould.name.length, mould.name.at));
        }
    }
    return status;
}
