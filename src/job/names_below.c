/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The names that a job knows, level by level of their paths. */
#include "parts.h"

#include <string.h>

typedef struct telling {
    mw_name_teller each;
    void *context;
} telling;

static void tell(const telling *to, mw_str name, bool more)
{
    to->each(to->context, name, more);
}

static void tell_first(const mw_job *job, const telling *to)
{
    static const char *const groups[] = {"shop", "job", "materials"};
    const build *in = job->build;
    for (uint32_t i = 0; i < in->document.count; i++) {
        const entry *item = in->document.items[i];
        if (item->kind == ENTRY_SET && item->part_count == 1) {
            tell(to, item->name, false);
        }
    }
    for (uint32_t m = 0; m < in->mould_count; m++) {
        tell(to, in->moulds[m].name, true);
    }
    if (in->mould_count > 0) {
        tell(to, mw_str_of("moulds"), true);
    }
    for (size_t i = 0; i < sizeof groups / sizeof *groups; i++) {
        tell(to, mw_str_of(groups[i]), true);
    }
}

/* The next parts of shop.*, job.* and materials.* behind a stem. */
static void tell_globals(const build *in, mw_str stem, const telling *to)
{
    for (uint32_t i = 0; i < in->global_count; i++) {
        mw_str name = in->globals[i].name;
        bool below = name.length > stem.length + 1 && name.at[stem.length] == '.' &&
                     memcmp(name.at, stem.at, stem.length) == 0;
        if (below) {
            mw_str rest = {name.at + stem.length + 1, name.length - stem.length - 1};
            const char *dot = memchr(rest.at, '.', rest.length);
            size_t length = dot ? (size_t)(dot - rest.at) : rest.length;
            tell(to, (mw_str){rest.at, length}, dot != NULL);
        }
    }
}

/* What can stand behind a mould of this recipe. */
static void tell_mould(const kit *made, const telling *to)
{
    for (uint32_t s = 0; s < made->recipe->step_count; s++) {
        tell(to, made->recipe->steps[s].name, true);
    }
    tell(to, mw_str_of("steps"), true);
    for (uint32_t i = 0; i < made->slot_count; i++) {
        if (made->slots[i].step == MW_NONE) {
            tell(to, made->slots[i].quantity, false);
        }
    }
}

/* What can stand behind a step, or behind `steps`. */
static void tell_step(const kit *made, mw_str step, const telling *to)
{
    bool all = mw_str_is(step, "steps");
    uint32_t at = all ? MW_NONE : kit_step(made, step);
    if (!all && at == MW_NONE) {
        return;
    }
    for (uint32_t i = 0; i < made->slot_count; i++) {
        bool fits = all ? made->slots[i].step != MW_NONE : made->slots[i].step == at;
        if (fits) {
            tell(to, made->slots[i].quantity, false);
        }
    }
    for (uint32_t use = 0; !all && use < made->recipe->steps[at].use_count; use++) {
        tell(to, made->recipe->steps[at].uses[use].role, true);
    }
}

/* The figures of the material that a step uses in a role. */
static void tell_figures(const mould *of, const mw_str *parts, const telling *to)
{
    uint32_t step = kit_step(of->kit, parts[1]);
    const mw_step_row *row = step == MW_NONE ? NULL : &of->kit->recipe->steps[step];
    for (uint32_t use = 0; row && use < row->use_count; use++) {
        const mw_material *material = of->materials[of->kit->first_use[step] + use];
        for (uint32_t i = 0;
             mw_str_equal(row->uses[use].role, parts[2]) && material && i < material->figure_count;
             i++) {
            tell(to, material->figures[i].name, false);
        }
    }
}

enum { STEM_PARTS = 3 };

/* Splits a stem at its dots; returns how many parts, one more than STEM_PARTS where there are too many. */
static uint32_t split_stem(mw_str stem, mw_str *parts)
{
    uint32_t count = 0;
    size_t from = 0;
    for (size_t i = 0; stem.length > 0 && i <= stem.length; i++) {
        if (i == stem.length || stem.at[i] == '.') {
            if (count == STEM_PARTS) {
                return STEM_PARTS + 1;
            }
            parts[count++] = (mw_str){stem.at + from, i - from};
            from = i + 1;
        }
    }
    return count;
}

void mw_job_names_below(const mw_job *job, mw_str stem, mw_name_teller each, void *context)
{
    const telling to = {each, context};
    const build *in = job->build;
    mw_str parts[STEM_PARTS];
    uint32_t count = split_stem(stem, parts);
    if (count == 0) {
        tell_first(job, &to);
        return;
    }
    bool all = mw_str_is(parts[0], "moulds");
    uint32_t m = all ? MW_NONE : mw_names_find(in->mould_names, parts[0]);
    if (!all && m == MW_NONE) {
        tell_globals(in, stem, &to);
        return;
    }
    if (count == STEM_PARTS && m != MW_NONE) {
        tell_figures(&in->moulds[m], parts, &to);
    }
    for (uint32_t k = 0; count < STEM_PARTS && k < in->kit_count; k++) {
        if (!all && in->kits[k] != in->moulds[m].kit) {
            continue;
        }
        if (count == 1) {
            tell_mould(in->kits[k], &to);
        } else {
            tell_step(in->kits[k], parts[1], &to);
        }
    }
}
