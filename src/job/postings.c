/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Postings of money, needs of material, cautions: lists that reports group. */
#include "parts.h"

#include <math.h>
#include <string.h>

#include "mouldwright/memory.h"

/* Postings being gathered. */
typedef struct posting_list {
    mw_job *job;
    uint32_t count;
    mw_diags *diags;
    mw_status status;
    uint32_t blamed; /* the cell that the newest message named as the root */
} posting_list;

static void say_bad(posting_list *list, uint32_t cell, double value)
{
    uint32_t blame = mw_sheet_blame(list->job->build->sheet, cell);
    bool said = blame != MW_NONE && blame == list->blamed;
    list->status = MW_FAILED;
    list->blamed = blame;
    if (said) {
        return; /* the same root once more */
    }
    mw_text name = {0};
    mw_job_cell_words(list->job, cell, &name);
    mw_code code = mw_error_code(value);
    mw_diag *diag = mw_diags_error(list->diags, code == MW_CODE_COUNT ? MW_CODE_TOO_LARGE : code,
                                   mw_sheet_formula(list->job->build->sheet, cell),
                                   "`%s` has no value", mw_text_chars(&name));
    if (blame != cell && blame != MW_NONE) {
        mw_text from = {0};
        mw_job_cell_words(list->job, blame, &from);
        mw_diag_other(list->diags, diag, mw_sheet_formula(list->job->build->sheet, blame),
                      "it comes from `%s`", mw_text_chars(&from));
        mw_text_free(&from);
    }
    mw_text_free(&name);
}

static void post(posting_list *list, const mw_posting *posting, uint32_t cell)
{
    mw_job *job = list->job;
    mw_posting made = *posting;
    if (cell == MW_NONE || list->status == MW_NO_MEMORY) {
        return;
    }
    double value = mw_sheet_value(job->build->sheet, cell);
    if (!mw_money_minor(value, job->build->host->digits, &made.minor)) {
        say_bad(list, cell, value);
        return;
    }
    if (made.minor == 0) {
        return;
    }
    void *postings = job->postings;
    if (!mw_memory_grow(&postings, &job->posting_capacity, (size_t)list->count + 1,
                        sizeof *job->postings)) {
        list->status = MW_NO_MEMORY;
        return;
    }
    job->postings = postings;
    job->postings[list->count++] = made;
}

#define USE_NAME_MAX 300 /* a name has at most 255 bytes */

/* The cell of a use's quantity or cost, named ROLE and an ending; MW_NONE: it has none. */
static uint32_t use_cell(const mould *of, uint32_t step, const mw_use_row *use, const char *ending)
{
    /* no allocation: a posting must not be lost for want of memory */
    char name[USE_NAME_MAX];
    mw_str end = mw_str_of(ending);
    if (use->role.length + end.length > sizeof name) {
        return MW_NONE;
    }
    memcpy(name, use->role.at, use->role.length);
    memcpy(name + use->role.length, end.at, end.length);
    uint32_t at = kit_slot(of->kit, step, (mw_str){name, use->role.length + end.length});
    return at == MW_NONE ? MW_NONE : of->cells[at];
}

static void post_step(posting_list *list, uint32_t m, uint32_t step)
{
    static const struct {
        mw_posting_kind kind;
        const char *quantity;
    } kinds[] = {{MW_POST_LABOUR, "labour_cost"},
                 {MW_POST_MACHINE, "machine_cost"},
                 {MW_POST_ENERGY, "energy_cost"},
                 {MW_POST_OUTSIDE, "outside_posted"},
                 {MW_POST_OVERHEAD, "overhead_cost"}};
    const mould *of = &list->job->build->moulds[m];
    const mw_step_row *row = &of->kit->recipe->steps[step];
    for (uint32_t use = 0; use < row->use_count; use++) {
        mw_posting posting = {m, step, MW_POST_MATERIAL, use, 0};
        post(list, &posting, use_cell(of, step, &row->uses[use], "_cost"));
    }
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        mw_posting posting = {m, step, kinds[i].kind, MW_NONE, 0};
        post(list, &posting, mw_job_cell(list->job, m, step, kinds[i].quantity));
    }
}

/* What comes on top of a mould's cost. */
static void post_mould(posting_list *list, uint32_t m)
{
    static const struct {
        mw_posting_kind kind;
        const char *quantity;
    } kinds[] = {{MW_POST_CONTINGENCY, "contingency_cost"},
                 {MW_POST_MARKUP, "markup_cost"},
                 {MW_POST_MARGIN, "margin_cost"}};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        mw_posting posting = {m, MW_NONE, kinds[i].kind, MW_NONE, 0};
        post(list, &posting, mw_job_cell(list->job, m, MW_NONE, kinds[i].quantity));
    }
}

mw_status mw_job_postings(mw_job *job, uint32_t only, const mw_posting **postings, uint32_t *count,
                          mw_diags *diags)
{
    posting_list list = {.job = job, .diags = diags, .status = MW_OK, .blamed = MW_NONE};
    for (uint32_t m = 0; m < job->build->mould_count; m++) {
        if (only != MW_NONE && only != m) {
            continue;
        }
        for (uint32_t step = 0; step < job->build->moulds[m].kit->recipe->step_count; step++) {
            post_step(&list, m, step);
        }
        post_mould(&list, m);
    }
    *postings = job->postings;
    *count = list.count;
    return list.status;
}

/* ---- needs ---- */

static double cell_of_use(const build *in, const mould *of, uint32_t step, const mw_use_row *use,
                          const char *ending)
{
    uint32_t cell = use_cell(of, step, use, ending);
    return cell == MW_NONE ? (double)NAN : mw_sheet_value(in->sheet, cell);
}

static mw_need *need_of(mw_need *needs, uint32_t *count, const mw_material *material)
{
    for (uint32_t i = 0; i < *count; i++) {
        if (needs[i].material == material) {
            return &needs[i];
        }
    }
    needs[*count] = (mw_need){.material = material, .packs = (double)NAN, .left_over = (double)NAN};
    return &needs[(*count)++];
}

static void add_use(const build *in, uint32_t m, uint32_t step, mw_need *needs, uint32_t *count)
{
    const mould *of = &in->moulds[m];
    const mw_step_row *row = &of->kit->recipe->steps[step];
    for (uint32_t use = 0; use < row->use_count; use++) {
        const mw_material *material = of->materials[of->kit->first_use[step] + use];
        double total = cell_of_use(in, of, step, &row->uses[use], "");
        if (total == 0.0) {
            continue;
        }
        mw_need *need = need_of(needs, count, material);
        need->net += cell_of_use(in, of, step, &row->uses[use], "_net");
        need->lost += cell_of_use(in, of, step, &row->uses[use], "_lost");
        need->total += total;
    }
}

static double material_total(const mw_job *job, const mw_material *material, const char *figure)
{
    uint32_t at = globals_figure(job->build, material, mw_str_of(figure));
    return at == MW_NONE ? (double)NAN
                         : mw_sheet_value(job->build->sheet, job->build->globals[at].cell);
}

static void add_packs(mw_job *job, mw_need *need)
{
    need->packs = material_total(job, need->material, "packs");
    need->left_over = material_total(job, need->material, "left_over");
    double worth = material_total(job, need->material, "left_over_cost");
    if (!mw_money_minor(worth, job->build->host->digits, &need->left_over_minor)) {
        need->left_over_minor = 0;
    }
}

mw_status mw_job_needs(mw_job *job, uint32_t only, const mw_need **needs, uint32_t *count,
                       mw_diags *diags)
{
    const build *in = job->build;
    mw_need *list = mw_arena_get(job->scratch, ((size_t)in->stock_count + 1) * sizeof *list);
    const mw_posting *postings;
    uint32_t posting_count = 0;
    uint32_t found = 0;
    if (!list) {
        return MW_NO_MEMORY;
    }
    mw_status status = mw_job_postings(job, only, &postings, &posting_count, diags);
    if (status != MW_OK) {
        return status;
    }
    for (uint32_t m = 0; m < in->mould_count; m++) {
        for (uint32_t s = 0; s < in->moulds[m].kit->recipe->step_count; s++) {
            if (only == MW_NONE || only == m) {
                add_use(in, m, s, list, &found);
            }
        }
    }
    for (uint32_t i = 0; i < posting_count; i++) {
        const mw_posting *of = &postings[i];
        if (of->kind == MW_POST_MATERIAL && (only == MW_NONE || only == of->mould)) {
            const mw_material *material = mw_job_material(job, of->mould, of->step, of->use);
            need_of(list, &found, material)->cost_minor += of->minor;
        }
    }
    job->build->lost = false;
    for (uint32_t i = 0; only == MW_NONE && i < found; i++) {
        add_packs(job, &list[i]);
    }
    *needs = list;
    *count = found;
    return job->build->lost ? MW_NO_MEMORY : MW_OK;
}

/* ---- cautions ---- */

typedef struct caution_list {
    mw_job *job;
    mw_caution_view *items;
    mw_text *places;
    uint32_t *place_counts;
    uint32_t count, room;
    mw_diags *diags;
    mw_status status;
} caution_list;

#define CAUTION_PLACES_MAX 6

/* Whether `name` is among the names in `list`, which are parted by commas. */
static bool lists_name(const mw_text *list, mw_str name)
{
    size_t from = 0;
    for (size_t i = 0; i <= list->length; i++) {
        if (i == list->length || list->data[i] == ',') {
            if (mw_str_equal(mw_str_trim((mw_str){list->data + from, i - from}), name)) {
                return true;
            }
            from = i + 1;
        }
    }
    return false;
}

static void add_place(caution_list *list, uint32_t at, mw_str place)
{
    mw_text *places = &list->places[at];
    if (lists_name(places, place)) {
        return;
    }
    list->place_counts[at]++;
    mw_text_adds(places, places->length ? ", " : "");
    mw_text_add_str(places, place);
}

/* Keeps the first few names of a list that is parted by commas. */
static void cut_places(mw_text *places, uint32_t count)
{
    uint32_t commas = 0;
    for (size_t i = 0; i < places->length; i++) {
        commas += places->data[i] == ',';
        if (commas == CAUTION_PLACES_MAX) {
            places->length = i;
            places->data[i] = '\0';
            break;
        }
    }
    mw_text_addf(places, " and %u more", (unsigned)(count - CAUTION_PLACES_MAX));
}

static void add_caution(caution_list *list, mw_str word, mw_span at, mw_str place)
{
    const mw_caution *caution = NULL;
    mw_status status = mw_library_caution(list->job->library, word, at, &caution, list->diags);
    if (status != MW_OK || !caution) {
        list->status = status != MW_OK ? status : list->status;
        return;
    }
    for (uint32_t i = 0; i < list->count; i++) {
        if (list->items[i].caution == caution) {
            add_place(list, i, place);
            return;
        }
    }
    if (list->count < list->room) {
        list->items[list->count].caution = caution;
        add_place(list, list->count++, place);
    }
}

static void cautions_of_step(caution_list *list, uint32_t m, uint32_t step)
{
    const mould *of = &list->job->build->moulds[m];
    const mw_step_row *row = &of->kit->recipe->steps[step];
    double hours = mw_job_value(list->job, m, step, "hours");
    double machine = mw_job_value(list->job, m, step, "machine_hours");
    double wait = mw_job_value(list->job, m, step, "wait");
    bool idle = hours == 0.0 && machine == 0.0 && wait == 0.0;
    for (uint32_t i = 0; !idle && i < row->cautions.count; i++) {
        add_caution(list, row->cautions.items[i], row->cautions.spans[i], row->name);
    }
    for (uint32_t use = 0; use < row->use_count; use++) {
        const mw_material *material = of->materials[of->kit->first_use[step] + use];
        if (cell_of_use(list->job->build, of, step, &row->uses[use], "") == 0.0) {
            continue;
        }
        for (uint32_t i = 0; i < material->cautions.count; i++) {
            add_caution(list, material->cautions.items[i], material->cautions.spans[i],
                        material->name);
        }
    }
}

static mw_status end_cautions(caution_list *list)
{
    for (uint32_t i = 0; i < list->count; i++) {
        if (list->place_counts[i] > CAUTION_PLACES_MAX) {
            cut_places(&list->places[i], list->place_counts[i]);
        }
        list->items[i].where = job_copy(
            list->job->scratch, (mw_str){mw_text_chars(&list->places[i]), list->places[i].length});
        if (list->places[i].failed || !list->items[i].where.at) {
            return MW_NO_MEMORY;
        }
    }
    return list->status;
}

#define CAUTIONS_MAX 100

mw_status mw_job_cautions(mw_job *job, uint32_t only, const mw_caution_view **cautions,
                          uint32_t *count, mw_diags *diags)
{
    caution_list list = {.job = job, .room = CAUTIONS_MAX, .diags = diags, .status = MW_OK};
    list.items = mw_arena_get(job->scratch, CAUTIONS_MAX * sizeof *list.items);
    list.places = mw_arena_get(job->scratch, CAUTIONS_MAX * sizeof *list.places);
    list.place_counts = mw_arena_get(job->scratch, CAUTIONS_MAX * sizeof *list.place_counts);
    if (!list.items || !list.places || !list.place_counts) {
        return MW_NO_MEMORY;
    }
    for (uint32_t m = 0; m < job->build->mould_count; m++) {
        for (uint32_t s = 0; s < job->build->moulds[m].kit->recipe->step_count; s++) {
            if (only == MW_NONE || only == m) {
                cautions_of_step(&list, m, s);
            }
        }
    }
    mw_status status = end_cautions(&list);
    for (uint32_t i = 0; i < list.count; i++) {
        mw_text_free(&list.places[i]);
    }
    *cautions = list.items;
    *count = list.count;
    return status;
}
