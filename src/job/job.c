/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job from its making to its end, and what can be asked of it. */
#include "parts.h"

#include <math.h>
#include <string.h>

#include "mouldwright/file.h"
#include "mouldwright/memory.h"

static mw_status copy_folders(mw_job *job, const mw_job_options *options)
{
    job->folders = mw_arena_get(job->arena, (options->folder_count + 1) * sizeof *job->folders);
    if (!job->folders) {
        return MW_NO_MEMORY;
    }
    for (size_t i = 0; i < options->folder_count; i++) {
        const char *folder = options->folders[i];
        job->folders[i] = mw_arena_copy(job->arena, folder, strlen(folder));
        if (!job->folders[i]) {
            return MW_NO_MEMORY;
        }
        job->folder_count++;
    }
    return MW_OK;
}

static mw_status start_job(mw_job *job, const mw_job_options *options)
{
    job->today_s = options->today_s;
    job->measure = mw_measure_new();
    job->sources = mw_sources_new();
    job->arena = mw_arena_new();
    job->scratch = mw_arena_new();
    if (!job->measure || !job->sources || !job->arena || !job->scratch) {
        return MW_NO_MEMORY;
    }
    job->library = mw_library_new(job->measure, job->sources);
    if (!job->library || copy_folders(job, options) != MW_OK) {
        return MW_NO_MEMORY;
    }
    for (size_t i = 0; i < job->folder_count; i++) {
        if (job->folders[i][0] != '\0' &&
            mw_library_folder(job->library, job->folders[i]) != MW_OK) {
            return MW_NO_MEMORY;
        }
    }
    mw_diags quiet;
    mw_status status = mw_diags_start(&quiet);
    document empty = {0};
    if (status == MW_OK) {
        status = build_make(job, &empty, &job->build, &quiet);
    }
    mw_diags_free(&quiet);
    return status;
}

mw_job *mw_job_new(const mw_job_options *options)
{
    mw_job *job = mw_memory_get(sizeof *job);
    if (job && start_job(job, options) != MW_OK) {
        mw_job_free(job);
        job = NULL;
    }
    return job;
}

void mw_job_free(mw_job *job)
{
    if (!job) {
        return;
    }
    build_free(job->build);
    mw_library_free(job->library);
    mw_ast_free(&job->ast);
    mw_memory_give(job->undo);
    mw_memory_give(job->rule_texts);
    mw_memory_give(job->answer);
    mw_memory_give(job->postings);
    mw_names_free(job->known_names);
    mw_memory_give(job->known_s);
    mw_memory_give(job->asks);
    mw_memory_give(job->paper);
    mw_arena_free(job->offer_arena);
    mw_arena_free(job->scratch);
    mw_arena_free(job->arena);
    mw_sources_free(job->sources);
    mw_measure_free(job->measure);
    mw_memory_give(job);
}

/* The folders again, in their order, with the job's own where it belongs. */
static mw_status place_folders(mw_job *job)
{
    mw_library *library = mw_library_new(job->measure, job->sources);
    mw_text folder = {0};
    mw_path_folder(&folder, mw_str_of(job->path));
    mw_status status = library && !folder.failed ? MW_OK : MW_NO_MEMORY;
    for (size_t i = 0; status == MW_OK && i < job->folder_count; i++) {
        bool own = job->folders[i][0] == '\0';
        mw_text beside = {0};
        if (own) {
            mw_path_join(&beside, (mw_str){mw_text_chars(&folder), folder.length},
                         mw_str_of("recipes"));
            status = mw_library_folder(library, mw_text_chars(&folder));
        }
        if (status == MW_OK) {
            status = mw_library_folder(library, own ? mw_text_chars(&beside) : job->folders[i]);
        }
        status = beside.failed ? MW_NO_MEMORY : status;
        mw_text_free(&beside);
    }
    mw_text_free(&folder);
    if (status != MW_OK) {
        mw_library_free(library);
        return status;
    }
    mw_library_free(job->library);
    job->library = library;
    return MW_OK;
}

/* Reads and builds; past faults as far as that goes, so that all are found in one run. */
static mw_status read_job(mw_job *job, uint32_t source, document *loaded, build **made,
                          mw_diags *diags)
{
    entry_list list = {0};
    mw_status status = document_read(job, source, &list, diags);
    if (status != MW_NO_MEMORY) {
        mw_status one = document_of_list(job, &list, loaded);
        status = one != MW_OK ? one : status;
    }
    if (status != MW_NO_MEMORY) {
        mw_status one = build_make(job, loaded, made, diags);
        status = one != MW_OK ? one : status;
    }
    entry_list_free(&list);
    return status;
}

mw_status mw_job_open(mw_job *job, const char *path, mw_diags *diags)
{
    build *made = NULL;
    uint32_t source = MW_NONE;
    document loaded = {0};
    char *before = job->path;
    job->path = mw_arena_copy(job->arena, path, strlen(path));
    mw_status status = job->path ? place_folders(job) : MW_NO_MEMORY;
    diags->by_file = true;
    if (status == MW_OK) {
        status = job_read_source(job, path, job_nowhere(), &source, diags);
    }
    if (status == MW_OK) {
        job->opening = true;
        job->unseen = job->shop_unseen = false;
        status = read_job(job, source, &loaded, &made, diags);
        job->opening = false;
    }
    if (status == MW_OK) {
        status = save_keep_paper(job, mw_sources_text(job->sources, source));
    }
    mw_diags_sort(diags);
    if (status != MW_OK) {
        build_free(made);
        job->path = before;
        return status;
    }
    build_free(job->build);
    job->build = made;
    job->saved = loaded;
    job->undo_at = job->undo_count = 0; /* what was before is no step of this job */
    keep_saved(job);
    return MW_OK;
}

const mw_span *mw_job_asks(const mw_job *job, size_t *count)
{
    *count = job->ask_count;
    return job->asks;
}

mw_measure *mw_job_measure(mw_job *job)
{
    return job->measure;
}

mw_sources *mw_job_sources(mw_job *job)
{
    return job->sources;
}

mw_library *mw_job_library(mw_job *job)
{
    return job->library;
}

mw_sheet *mw_job_sheet(mw_job *job)
{
    return job->build->sheet;
}

const mw_shop *mw_job_shop(const mw_job *job)
{
    return job->build->shop;
}

const char *mw_job_path(const mw_job *job)
{
    return job->path;
}

mw_str mw_job_name(const mw_job *job)
{
    if (!job->path) {
        return mw_str_of("job");
    }
    mw_str base = mw_path_base(mw_str_of(job->path));
    for (size_t i = base.length; i-- > 1;) {
        if (base.at[i] == '.') {
            base.length = i;
            break;
        }
    }
    return base;
}

double mw_job_total(const mw_job *job, const char *name)
{
    uint32_t at = global_find(job->build, mw_str_of(name));
    return at == MW_NONE ? (double)NAN
                         : mw_sheet_value(job->build->sheet, job->build->globals[at].cell);
}

mw_headline mw_job_headline(const mw_job *job)
{
    return (mw_headline){.cost = mw_job_total(job, "job.cost"),
                         .price = mw_job_total(job, "job.price"),
                         .hours_s = mw_job_total(job, "job.hours"),
                         .ready_s = mw_job_total(job, "job.ready")};
}

uint32_t mw_job_mould_count(const mw_job *job)
{
    return job->build->mould_count;
}

mw_mould_view mw_job_mould(const mw_job *job, uint32_t at)
{
    const mould *of = &job->build->moulds[at];
    return (mw_mould_view){of->name, of->kit->recipe, of->from->span};
}

uint32_t mw_job_mould_find(const mw_job *job, mw_str name)
{
    return mw_names_find(job->build->mould_names, name);
}

uint32_t mw_job_cell(const mw_job *job, uint32_t mould_at, uint32_t step, const char *quantity)
{
    const mould *of = &job->build->moulds[mould_at];
    uint32_t at = kit_slot(of->kit, step, mw_str_of(quantity));
    return at == MW_NONE ? MW_NONE : of->cells[at];
}

double mw_job_value(const mw_job *job, uint32_t mould_at, uint32_t step, const char *quantity)
{
    uint32_t cell = mw_job_cell(job, mould_at, step, quantity);
    return cell == MW_NONE ? (double)NAN : mw_sheet_value(job->build->sheet, cell);
}

const mw_material *mw_job_material(const mw_job *job, uint32_t mould_at, uint32_t step,
                                   uint32_t use)
{
    const mould *of = &job->build->moulds[mould_at];
    return of->materials[of->kit->first_use[step] + use];
}

void mw_job_cell_words(const mw_job *job, uint32_t cell, mw_text *out)
{
    build_cell_words(job->build, cell, out);
}

/* ---- the user's lines ---- */

static bool own_line(const entry *item)
{
    return item->kind == ENTRY_SET && item->part_count == 1;
}

uint32_t mw_job_line_count(const mw_job *job)
{
    uint32_t count = 0;
    for (uint32_t i = 0; i < job->build->document.count; i++) {
        count += own_line(job->build->document.items[i]);
    }
    return count;
}

mw_line_view mw_job_line(const mw_job *job, uint32_t line)
{
    for (uint32_t i = 0; i < job->build->document.count; i++) {
        const entry *item = job->build->document.items[i];
        if (own_line(item) && line-- == 0) {
            return (mw_line_view){item->name, item->formula,
                                  mw_sheet_find(job->build->sheet, item->name)};
        }
    }
    return (mw_line_view){.formula = job_nowhere(), .cell = MW_NONE};
}

uint32_t mw_job_line_cell(const mw_job *job, uint32_t line)
{
    return mw_job_line(job, line).cell;
}

void mw_job_watch(mw_job *job, const mw_progress *progress)
{
    job->progress = progress;
}

bool job_goes_on(mw_job *job, double share)
{
    if (!job->stopped && !mw_progress_tell(job->progress, share)) {
        job->stopped = true; /* written only then: several threads may ask */
    }
    return !job->stopped;
}
