/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Needs become packs: stock first, then the cheapest cover; order dates from the plan. */
#include "parts.h"

#include <math.h>

#include "mouldwright/buy.h"
#include "mouldwright/buying.h"

_Static_assert(MW_MATERIAL_PACKS_MAX <= MW_BUY_PACKS_MAX, "all packs of a material");
_Static_assert(MW_PACK_BREAKS_MAX <= MW_BUY_BREAKS_MAX, "all lower prices of a pack");
_Static_assert(MW_MATERIAL_PARTS_MAX < MW_BUY_PARTS_MAX, "parts, and the least order");

typedef struct buyer {
    mw_job *job;
    uint32_t only;
    mw_calendar *shift; /* of the office: the usual shift */
    mw_diags *diags;
} buyer;

static double figure_of(const buyer *in, const mw_material *material, const char *figure)
{
    const uint32_t at = globals_figure(in->job->build, material, mw_str_of(figure));
    return at == MW_NONE ? (double)NAN
                         : mw_sheet_value(in->job->build->sheet, in->job->build->globals[at].cell);
}

/* ---- packs ---- */

static double minor_of(const buyer *in, double amount)
{
    return amount * pow(10.0, in->job->build->host->digits);
}

static mw_buy_pack pack_of(const buyer *in, const mw_material *material, uint32_t i,
                           bool least_order)
{
    const mw_pack *from = &material->packs[i];
    mw_buy_pack made = {.price = minor_of(in, from->price),
                        .break_count = from->break_count,
                        .at_least = from->at_least};
    const uint32_t parts = material->part_count ? material->part_count : 1;
    for (uint32_t c = 0; c < parts; c++) {
        const double share = material->part_count ? material->parts[c].share : 1.0;
        made.holds[c] = from->part == MW_NONE ? from->size * share
                        : from->part == c     ? from->size
                                              : 0.0;
    }
    made.holds[parts] = least_order ? from->size : 0.0;
    for (uint32_t k = 0; k < from->break_count; k++) {
        made.breaks[k] = (mw_buy_break){from->breaks[k].from, minor_of(in, from->breaks[k].price)};
    }
    return made;
}

static mw_status say_no_cover(const buyer *in, const mw_material *material)
{
    mw_diag *diag = mw_diags_error(in->diags, MW_CODE_OUT_OF_RANGE, material->name_at,
                                   "no number of packs of `%.*s` covers what is needed",
                                   (int)material->name.length, material->name.at);
    mw_diag_try(in->diags, diag, "give it a pack of a fitting size, and one for each part");
    return MW_FAILED;
}

/* Packs in money for which the shop has no rate cannot be compared. */
static mw_status check_money(const buyer *in, const mw_material *material)
{
    const mw_type money = mw_money_type(in->job->measure, in->job->build->shop->currency);
    for (uint32_t i = 0; i < material->pack_count; i++) {
        if (material->packs[i].price_type != money) {
            mw_diags_error(in->diags, MW_CODE_NO_RATE, material->packs[i].at,
                           "the shop has no rate for the price of this pack");
            return MW_FAILED;
        }
    }
    return MW_OK;
}

static mw_status choose_packs(const buyer *in, mw_purchase *of)
{
    const mw_material *material = of->material;
    const double least = figure_of(in, material, "least_order");
    const double wanted = of->needed - of->from_stock;
    mw_buy_pack packs[MW_BUY_PACKS_MAX];
    mw_buy_problem problem = {.packs = packs,
                              .pack_count = material->pack_count,
                              .part_count = material->part_count ? material->part_count : 1};
    const bool more = least > wanted && wanted > 0.0;
    for (uint32_t i = 0; i < material->pack_count; i++) {
        packs[i] = pack_of(in, material, i, more);
    }
    for (uint32_t c = 0; c < problem.part_count; c++) {
        problem.need[c] = wanted * (material->part_count ? material->parts[c].share : 1.0);
    }
    problem.need[problem.part_count] = more ? least : 0.0;
    problem.part_count += more ? 1 : 0;
    mw_buy_answer answer;
    if (mw_buy_cheapest(&problem, &answer) != MW_OK) {
        return say_no_cover(in, material);
    }
    of->proven = answer.proven;
    of->cost = answer.cost;
    for (uint32_t i = 0; i < material->pack_count; i++) {
        of->counts[i] = answer.counts[i];
        of->lines[i] = mw_buy_line(&packs[i], answer.counts[i]);
        of->bought += answer.counts[i] * material->packs[i].size;
    }
    of->left_over = fmax(of->bought - wanted, 0.0);
    return MW_OK;
}

/* ---- dates ---- */

static bool uses(const buyer *in, const mw_session *session, const mw_material *material)
{
    const mould *of = &in->job->build->moulds[session->mould];
    const mw_step_row *row = &of->kit->recipe->steps[session->step];
    for (uint32_t use = 0; use < row->use_count; use++) {
        if (mw_job_material(in->job, session->mould, session->step, use) == material) {
            return true;
        }
    }
    return false;
}

/* The first session that uses the material; sessions are in the order of their start. */
static double first_use(const buyer *in, const mw_material *material)
{
    uint32_t count = 0;
    const mw_session *sessions = mw_job_sessions(in->job, &count);
    for (uint32_t i = 0; i < count; i++) {
        const bool asked = in->only == MW_NONE || in->only == sessions[i].mould;
        if (asked && isfinite(sessions[i].start_s) && uses(in, &sessions[i], material)) {
            return sessions[i].start_s;
        }
    }
    return (double)NAN;
}

#define DAYS_BACK_MAX 366

static double order_day(const buyer *in, double first_use_s, double lead_s)
{
    int32_t day = (int32_t)floor((first_use_s - fmax(lead_s, 0.0)) / MW_DAY_S);
    for (int i = 0; i < DAYS_BACK_MAX && in->shift && !mw_calendar_works(in->shift, day); i++) {
        day--;
    }
    return day * MW_DAY_S;
}

static mw_keeps keeps_of(const buyer *in, const mw_purchase *of)
{
    const double next_job_s = mw_job_total(in->job, "shop.next_job");
    const double ready_s = mw_job_headline(in->job).ready_s;
    if (of->left_over <= of->bought * 1e-9) {
        return MW_KEEPS_NOTHING;
    }
    if (!isfinite(of->keeps_until_s) || !isfinite(ready_s) || !isfinite(next_job_s)) {
        return MW_KEEPS_UNKNOWN;
    }
    return of->keeps_until_s >= ready_s + next_job_s ? MW_KEEPS_YES : MW_KEEPS_NO;
}

static void set_dates(const buyer *in, mw_purchase *of)
{
    const double lead_s = figure_of(in, of->material, "lead_time");
    const double life_s = figure_of(in, of->material, "shelf_life");
    of->first_use_s = first_use(in, of->material);
    of->order_by_s = (double)NAN;
    of->keeps_until_s = (double)NAN;
    if (isfinite(of->first_use_s)) {
        of->order_by_s = order_day(in, of->first_use_s, isfinite(lead_s) ? lead_s : 0.0);
        of->late = of->cost > 0 && of->order_by_s < in->job->today_s;
        of->keeps_until_s = of->first_use_s + life_s;
    }
    of->keeps = keeps_of(in, of);
}

/* ---- the list ---- */

/* An amount that a job has set to something without a value. */
static mw_status say_no_amount(const buyer *in, const mw_material *material, const char *figure,
                               double value)
{
    const uint32_t at = globals_figure(in->job->build, material, mw_str_of(figure));
    const uint32_t cell = at == MW_NONE ? MW_NONE : in->job->build->globals[at].cell;
    const mw_code code = mw_error_code(value);
    mw_diags_error(
        in->diags, code == MW_CODE_COUNT ? MW_CODE_NOT_A_VALUE : code,
        cell == MW_NONE ? material->name_at : mw_sheet_formula(in->job->build->sheet, cell),
        "`%s` of `%.*s` has no value", figure, (int)material->name.length, material->name.at);
    return MW_FAILED;
}

static mw_status buy_material(const buyer *in, const mw_need *need, mw_purchase *of)
{
    const double on_hand = figure_of(in, need->material, "on_hand");
    *of = (mw_purchase){.material = need->material,
                        .supplier = need->material->supplier.length ? need->material->supplier
                                                                    : need->material->kind,
                        .needed = need->total,
                        .charged = need->cost_minor,
                        .from_stock = on_hand > 0.0 ? fmin(on_hand, need->total) : 0.0};
    const double least = figure_of(in, need->material, "least_order");
    mw_status status = in->job->build->lost ? MW_NO_MEMORY : check_money(in, need->material);
    if (status == MW_OK && !isfinite(on_hand)) {
        status = say_no_amount(in, need->material, "on_hand", on_hand);
    } else if (status == MW_OK && !isfinite(least)) {
        status = say_no_amount(in, need->material, "least_order", least);
    }
    if (status == MW_OK) {
        status = choose_packs(in, of);
    }
    if (status == MW_OK) {
        set_dates(in, of);
    }
    return status;
}

mw_status mw_job_purchases(mw_job *job, uint32_t only, const mw_purchase **purchases,
                           uint32_t *count, mw_diags *diags)
{
    const mw_need *needs;
    uint32_t need_count = 0;
    mw_status status = mw_job_needs(job, only, &needs, &need_count, diags);
    if (status != MW_OK) {
        return status;
    }
    buyer in = {.job = job, .only = only, .diags = diags};
    mw_purchase *list = mw_arena_get(job->scratch, ((size_t)need_count + 1) * sizeof *list);
    in.shift = job->build->shop ? mw_shop_shift(job->build->shop, (mw_str){0}) : NULL;
    status = list && (in.shift || !job->build->shop) ? MW_OK : MW_NO_MEMORY;
    uint32_t found = 0;
    job->build->lost = false;
    for (uint32_t i = 0; status == MW_OK && i < need_count; i++) {
        if (needs[i].total > 0.0) {
            status = buy_material(&in, &needs[i], &list[found++]);
        }
    }
    mw_calendar_free(in.shift);
    *purchases = list;
    *count = found;
    return status == MW_OK && job->build->lost ? MW_NO_MEMORY : status;
}
