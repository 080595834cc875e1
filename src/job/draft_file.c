/* SPDX-License-Identifier: GPL-3.0-or-later */
/* New job files: with one mould from a few inputs, or the present job as the start of the next. */
#include "draft.h"

#include <string.h>

#include "mouldwright/date.h"
#include "mouldwright/file.h"
#include "mouldwright/memory.h"

#define COPY_FILE_LIMIT (64u * 1024u * 1024u)

/* ---- a new job ---- */

/* The file's name without folder and ending, if it can name a mould. */
static mw_str name_from_file(mw_str file)
{
    mw_str base = mw_path_base(file);
    const char *point = base.length ? memchr(base.at, '.', base.length) : NULL;
    base.length = point ? (size_t)(point - base.at) : base.length;
    return mw_is_name(base) && !document_taken_word(base) ? base : mw_str_of("mould_1");
}

static mw_status check_inputs(const draft *of, mw_diags *diags)
{
    if (of->statement.item_count > 0) {
        return MW_OK;
    }
    mw_diag *diag =
        mw_diags_error(diags, MW_CODE_MISSING_INPUT, of->statement.name,
                       "without a terminal to ask at, the new job's mould is given here");
    mw_str file = mw_sources_piece(of->job->sources, of->statement.name);
    mw_diag_try(diags, diag, "new \"%.*s\": area 5 m2, edge 9 m, recipe \"usual mould\"",
                (int)file.length, file.at);
    return MW_FAILED;
}

static void add_start(const draft *of, mw_text *out)
{
    if (of->start_given) {
        mw_text_add_str(out, mw_sources_piece(of->job->sources, of->start.formula));
    } else {
        mw_date_words(of->job->today_s, out);
    }
}

static void add_mould(const draft *of, mw_text *out)
{
    const mw_sources *sources = of->job->sources;
    mw_text_addf(out, "mould %.*s:", (int)of->mould.name.length, of->mould.name.at);
    for (uint32_t i = 0; i < of->mould.field_count; i++) {
        const entry_field *field = &of->fields[i];
        mw_str value = mw_sources_piece(sources, field->value);
        mw_text_addf(out, "%s %.*s ", i ? "," : "", (int)field->name.length, field->name.at);
        mw_text_add_str(out, value);
    }
    if (of->tightness.length > 0) {
        mw_text_addf(out, "   # tightness: %.*s", (int)of->tightness.length, of->tightness.at);
    }
    mw_text_addc(out, '\n');
}

/* The inputs that a mould's line can take, as remarks. */
static void add_inputs(const mw_recipe *recipe, mw_text *out)
{
    mw_text_addf(out, "# What a mould's line can say, by recipe \"%.*s\":\n",
                 (int)recipe->name.length, recipe->name.at);
    for (uint32_t i = 0; i < recipe->line_count; i++) {
        const mw_line_row *row = &recipe->lines[i];
        if (row->input) {
            mw_text_addf(out, row->about.length ? "#   %-17.*s %.*s\n" : "#   %.*s%.*s\n",
                         (int)row->name.length, row->name.at, (int)row->about.length,
                         row->about.at ? row->about.at : "");
        }
    }
}

/* What is written while the job answers as the new one. */
typedef struct writing {
    const draft *of;
    mw_text *out;
} writing;

static mw_status write_job(void *context)
{
    const writing *to = context;
    const draft *of = to->of;
    mw_text *out = to->out;
    mw_str name = of->mould.name;
    const mw_recipe *recipe = mw_job_mould(of->job, 0).recipe;
    mw_text_adds(out, "# Lines can be changed here with an editor, or in a session on this file.\n"
                      "# `#` begins a remark; the order of the lines does not matter.\n\n"
                      "# Who does the work, and when it may begin.\n");
    mw_text_addf(out, "shop \"%.*s\"\nstart ", (int)of->shop.name.length, of->shop.name.at);
    add_start(of, out);
    mw_text_adds(out, "\n\n");
    add_inputs(recipe, out);
    add_mould(of, out);
    mw_str step = recipe->step_count > 0 ? recipe->steps[0].name : mw_str_of("step");
    mw_text_addf(
        out,
        "\n# What differs from the recipe; `steps %.*s` in a session lists what there is:\n"
        "# %.*s.%.*s.hours = usual * 1.2\n"
        "\n# Lines of your own:\n"
        "# price_per_m2 = sum(moulds.price) / sum(moulds.area)\n",
        (int)name.length, name.at, (int)name.length, name.at, (int)step.length, step.at);
    return MW_OK;
}

static mw_status new_text(mw_job *job, mw_span span, mw_text *out, mw_diags *diags)
{
    draft made;
    mw_status status = draft_read(job, span, &made, diags);
    if (status == MW_OK) {
        status = check_inputs(&made, diags);
    }
    if (status != MW_OK) {
        return status;
    }
    if (made.mould.name_at.begin == made.statement.name.begin) { /* no name was given */
        made.mould.name = name_from_file(mw_sources_piece(job->sources, made.statement.name));
    }
    writing to = {&made, out};
    return draft_try(&made, write_job, &to, diags);
}

/* ---- the present job again ---- */

/* The start that `copy job` gives: a date; its span in `*date`. */
static mw_status new_start(mw_job *job, const mw_statement *statement, mw_str *date,
                           mw_diags *diags)
{
    for (uint32_t i = 0; i < statement->item_count; i++) {
        const mw_item *item = &job->ast.items[statement->first_item + i];
        if (!mw_str_is(mw_sources_piece(job->sources, item->name), "start")) {
            mw_diag *diag = mw_diags_error(diags, MW_CODE_NOT_AN_INPUT, item->name,
                                           "a copied job takes a new start, nothing else");
            mw_diag_try(diags, diag, "change the rest in the new file");
            return MW_FAILED;
        }
        if (job->ast.nodes[job->ast.links[item->first_value]].kind != MW_NODE_DATE) {
            mw_diags_error(diags, MW_CODE_WRONG_KIND, item->value, "a date is expected here");
            return MW_FAILED;
        }
        *date = mw_sources_piece(job->sources, item->value);
    }
    return MW_OK;
}

/* Where the text of the job has its start, and whether it names other files. */
typedef struct job_text {
    mw_str text;
    mw_span start; /* the formula; source MW_NONE: none */
    uint32_t shop_end;
    bool names_files;
} job_text;

static mw_status scan_lines(mw_job *job, uint32_t source, job_text *of, mw_diags *diags)
{
    mw_span line;
    uint32_t at = 0;
    *of = (job_text){.text = mw_sources_text(job->sources, source), .start = job_nowhere()};
    while (mw_next_line(job->sources, source, &at, &line)) {
        mw_statement said;
        mw_reader reader = {&job->ast, job->measure, job->sources, diags};
        mw_ast_clear(&job->ast);
        mw_status status = mw_parse_statement(&reader, line, &said);
        if (status != MW_OK) {
            return status;
        }
        if (said.kind == MW_SAY_START) {
            of->start = said.formula_span;
        } else if (said.kind == MW_SAY_SHOP) {
            of->shop_end = at;
        }
        of->names_files =
            of->names_files || said.kind == MW_SAY_INCLUDE || said.kind == MW_SAY_MOULDS_FROM;
    }
    return MW_OK;
}

static void write_copy(const job_text *of, mw_str date, mw_text *out)
{
    uint32_t begin = of->start.source == MW_NONE ? of->shop_end : of->start.begin;
    uint32_t end = of->start.source == MW_NONE ? of->shop_end : of->start.end;
    if (date.length == 0) {
        mw_text_add_str(out, of->text);
        return;
    }
    mw_text_add(out, of->text.at, begin);
    if (of->start.source == MW_NONE) {
        mw_text_addf(out, "start %.*s\n", (int)date.length, date.at);
    } else {
        mw_text_add_str(out, date);
    }
    mw_text_add(out, of->text.at + end, of->text.length - end);
}

static mw_status refuse(mw_diags *diags, mw_span at, const char *what, const char *advice)
{
    mw_diag *diag = mw_diags_error(diags, MW_CODE_CANNOT_WRITE, at, "%s", what);
    mw_diag_try(diags, diag, "%s", advice);
    return MW_FAILED;
}

/* The folder of a path, compared as text. */
static bool same_folder(const char *a, const char *b, bool *lost)
{
    mw_text one = {0};
    mw_text other = {0};
    mw_path_folder(&one, mw_str_of(a));
    mw_path_folder(&other, mw_str_of(b));
    *lost = one.failed || other.failed;
    bool same = !*lost && strcmp(mw_text_chars(&one), mw_text_chars(&other)) == 0;
    mw_text_free(&one);
    mw_text_free(&other);
    return same;
}

static mw_status copy_text(mw_job *job, const mw_statement *statement, const char *path,
                           mw_text *out, mw_diags *diags)
{
    if (!job->path) {
        return refuse(diags, statement->span, "this job has no file yet", "save it first");
    }
    const mw_unsaved *unsaved = NULL;
    uint32_t unsaved_count = 0;
    mw_status status = mw_job_unsaved(job, &unsaved, &unsaved_count);
    if (status != MW_OK || unsaved_count > 0) {
        return status != MW_OK
                   ? status
                   : refuse(diags, statement->span,
                            "the job has changes that are not in its file yet", "save it first");
    }
    mw_str date = {0};
    job_text of;
    uint32_t source = MW_NONE;
    status = new_start(job, statement, &date, diags);
    if (status == MW_OK) {
        status = job_read_source(job, job->path, statement->span, &source, diags);
    }
    if (status == MW_OK) {
        status = scan_lines(job, source, &of, diags);
    }
    bool lost = false;
    if (status == MW_OK && of.names_files && !same_folder(job->path, path, &lost)) {
        status = lost ? MW_NO_MEMORY
                      : refuse(diags, statement->name,
                               "the job names other files, which are looked for beside it",
                               "put the new one into the same folder");
    }
    if (status == MW_OK) {
        write_copy(&of, date, out);
    }
    mw_sources_drop_last(job->sources, source);
    return status;
}

/* ---- writing ---- */

static mw_status place_file(mw_job *job, const mw_statement *statement, mw_text *path,
                            mw_diags *diags)
{
    mw_str file = mw_sources_piece(job->sources, statement->name);
    mw_text folder = {0};
    if (file.length == 0) {
        return refuse(diags, statement->span, "the file needs a name", "new \"tender.job\"");
    }
    if (job->path) {
        mw_path_folder(&folder, mw_str_of(job->path));
    }
    bool beside = job->path && strchr(job->path, '/');
    mw_path_join(path, beside ? (mw_str){mw_text_chars(&folder), folder.length} : (mw_str){0},
                 file);
    bool lost = folder.failed || path->failed;
    mw_text_free(&folder);
    if (lost) {
        return MW_NO_MEMORY;
    }
    if (mw_file_exists(mw_text_chars(path))) {
        return refuse(diags, statement->name, "there is a file of that name already",
                      "choose another name, or open that one");
    }
    return MW_OK;
}

mw_status mw_job_write_new(mw_job *job, mw_span span, mw_text *path, mw_diags *diags)
{
    mw_statement statement;
    mw_text text = {0};
    mw_reader reader = {&job->ast, job->measure, job->sources, diags};
    mw_ast_clear(&job->ast);
    mw_status status = mw_parse_statement(&reader, span, &statement);
    if (status == MW_OK) {
        status = place_file(job, &statement, path, diags);
    }
    if (status == MW_OK && statement.kind == MW_SAY_NEW) {
        status = new_text(job, span, &text, diags);
    } else if (status == MW_OK) {
        status = copy_text(job, &statement, mw_text_chars(path), &text, diags);
    }
    status = status == MW_OK && text.failed ? MW_NO_MEMORY : status;
    if (status == MW_OK) {
        status = mw_file_replace(mw_text_chars(path), (mw_str){mw_text_chars(&text), text.length});
    }
    if (status == MW_IO) {
        mw_diags_error(diags, MW_CODE_CANNOT_WRITE, statement.name, "cannot write `%s`: %s",
                       mw_text_chars(path), strerror(errno));
        status = MW_FAILED;
    }
    mw_text_free(&text);
    return status;
}
