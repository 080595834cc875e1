/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One mould from a few inputs, built beside the job: the ballpark, and what a new file begins with. */
#include "draft.h"

#include <string.h>

#include "mouldwright/suggest.h"

/* Words that stand in for what a statement does not say, in a source of their own so that messages can point to
 * them. The first words are shapes: how tight the corners are, as the recipes' input `tightness` counts it. */
static const char draft_words[] = "1 1.5 2 saltmarsh recipe \"usual mould\"";

typedef struct word_place {
    const char *word;
    uint32_t begin, end; /* in draft_words */
} word_place;

/* Source: common practice, no source; the recipes' own scale from 1 to 2. */
static const word_place shapes[] = {{"gentle", 0, 1}, {"busy", 2, 5}, {"tight", 6, 7}};
static const word_place sample_shop = {"saltmarsh", 8, 17};
static const word_place recipe_key = {"recipe", 18, 24};
static const word_place usual_recipe = {"usual mould", 25, 38};

static mw_span word_span(const draft *of, const word_place *place)
{
    return (mw_span){of->words, place->begin, place->end};
}

static mw_status add_words(draft *made)
{
    mw_job *job = made->job;
    if (job->draft_words == 0) {
        uint32_t source =
            mw_sources_add(job->sources, mw_str_of("<ballpark>"), mw_str_of(draft_words));
        if (source == MW_NONE) {
            return MW_NO_MEMORY;
        }
        job->draft_words = source + 1;
    }
    made->words = job->draft_words - 1;
    return MW_OK;
}

/* The value of an item as it was read. */
static const mw_node *value_of(const mw_job *job, const mw_item *item)
{
    return &job->ast.nodes[job->ast.links[item->first_value]];
}

static mw_str one_name(const mw_job *job, const mw_item *item)
{
    const mw_node *value = value_of(job, item);
    return value->kind == MW_NODE_PATH && value->count == 1 ? job->ast.parts[value->a]
                                                            : (mw_str){0};
}

static mw_status take_shop(draft *made, const mw_item *item, mw_diags *diags)
{
    const mw_node *value = value_of(made->job, item);
    if (value->kind != MW_NODE_TEXT) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_SYNTAX, item->value,
                                       "the shop's name stands in double quotes");
        mw_diag_try(diags, diag, "shop \"%s\"", sample_shop.word);
        return MW_FAILED;
    }
    made->shop.name_at = (mw_span){item->value.source, value->begin, value->end};
    made->shop.name = mw_sources_piece(made->job->sources, made->shop.name_at);
    made->shop.span = item->value;
    made->shop_given = true;
    return MW_OK;
}

static mw_status take_name(draft *made, const mw_item *item, mw_diags *diags)
{
    mw_str name = one_name(made->job, item);
    if (name.length == 0 || document_taken_word(name)) {
        mw_diag *diag = mw_diags_error(diags, MW_CODE_NAME_TAKEN, item->value,
                                       "this cannot be the name of a mould");
        mw_diag_try(diags, diag, "mould hull");
        return MW_FAILED;
    }
    made->mould.name = name;
    made->mould.name_at = item->value;
    return MW_OK;
}

static mw_status refuse_shape(const mw_item *item, mw_str word, mw_diags *diags)
{
    mw_diag *diag = mw_diags_error(diags, MW_CODE_UNKNOWN_NAME, item->value,
                                   "`%.*s` is no shape: gentle, busy, tight, or a number",
                                   (int)word.length, word.at);
    mw_suggest nearest;
    mw_suggest_start(&nearest, word);
    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++) {
        mw_suggest_offer(&nearest, mw_str_of(shapes[i].word));
    }
    mw_str best = nearest.best.length > 0 ? nearest.best : mw_str_of(shapes[1].word);
    mw_diag_try(diags, diag, "tightness %.*s", (int)best.length, best.at);
    return MW_FAILED;
}

/* A word for the shape becomes its number. */
static mw_status take_shape(draft *made, const mw_item *item, mw_span *value, mw_diags *diags)
{
    mw_str word = one_name(made->job, item);
    *value = item->value;
    for (size_t i = 0; i < sizeof shapes / sizeof *shapes; i++) {
        if (mw_str_is(word, shapes[i].word)) {
            made->tightness = word;
            *value = word_span(made, &shapes[i]);
            return MW_OK;
        }
    }
    return word.length > 0 ? refuse_shape(item, word, diags) : MW_OK;
}

static mw_status take_item(draft *made, const mw_item *item, mw_diags *diags)
{
    mw_str name = mw_sources_piece(made->job->sources, item->name);
    if (mw_str_is(name, "shop")) {
        return take_shop(made, item, diags);
    }
    if (mw_str_is(name, "mould")) {
        return take_name(made, item, diags);
    }
    if (mw_str_is(name, "start")) {
        made->start.formula = made->start.span = item->value;
        made->start_given = true;
        return MW_OK;
    }
    mw_span value = item->value;
    mw_status status = MW_OK;
    if (mw_str_is(name, "tightness")) {
        status = take_shape(made, item, &value, diags);
    }
    made->fields[made->mould.field_count++] =
        (entry_field){.name = name, .name_at = item->name, .value = value, .head_unit = MW_NONE};
    return status;
}

/* Where nothing is said: the job's own shop and start, else the sample shop; the usual recipe. */
static void fill_gaps(draft *made)
{
    const document *own = &made->job->build->document;
    uint32_t shop = document_find(own, mw_str_of("shop"));
    uint32_t start = document_find(own, mw_str_of("start"));
    if (!made->shop_given && shop != MW_NONE) {
        made->shop = *own->items[shop];
        made->shop_given = true;
    } else if (!made->shop_given) {
        made->shop.name = mw_str_of(sample_shop.word);
        made->shop.span = made->shop.name_at = word_span(made, &sample_shop);
    }
    if (!made->start_given && start != MW_NONE) {
        made->start = *own->items[start];
        made->start_given = true;
    }
    for (uint32_t i = 0; i < made->mould.field_count; i++) {
        if (mw_str_is(made->fields[i].name, recipe_key.word)) {
            return;
        }
    }
    made->fields[made->mould.field_count++] = (entry_field){.name = mw_str_of(recipe_key.word),
                                                            .name_at = word_span(made, &recipe_key),
                                                            .value = word_span(made, &usual_recipe),
                                                            .head_unit = MW_NONE};
}

static mw_status sort_items(draft *made, mw_diags *diags)
{
    mw_job *job = made->job;
    const mw_statement *said = &made->statement;
    mw_status status = MW_OK;
    made->fields = mw_arena_get(job->scratch, (said->item_count + 2) * sizeof *made->fields);
    if (!made->fields) {
        return MW_NO_MEMORY;
    }
    made->shop = (entry){.kind = ENTRY_SHOP, .key = mw_str_of("shop"), .formula = job_nowhere()};
    made->start = (entry){.kind = ENTRY_START, .key = mw_str_of("start"), .name_at = job_nowhere()};
    made->mould = (entry){.kind = ENTRY_MOULD,
                          .span = said->span,
                          .name = mw_str_of("ballpark"),
                          .name_at = said->name,
                          .formula = job_nowhere(),
                          .fields = made->fields};
    for (uint32_t i = 0; i < said->item_count; i++) {
        mw_status one = take_item(made, &job->ast.items[said->first_item + i], diags);
        status = one != MW_OK ? one : status;
    }
    return status;
}

mw_status draft_read(mw_job *job, mw_span statement, draft *made, mw_diags *diags)
{
    mw_reader reader = {&job->ast, job->measure, job->sources, diags};
    *made = (draft){.job = job};
    mw_ast_clear(&job->ast);
    mw_status status = mw_parse_statement(&reader, statement, &made->statement);
    if (status == MW_OK) {
        status = add_words(made);
    }
    if (status == MW_OK) {
        status = sort_items(made, diags);
    }
    if (status == MW_OK) {
        fill_gaps(made);
    }
    return status;
}

/* Puts currency, rates and units of the job's shop in force again. */
static mw_status put_shop_back(mw_job *job)
{
    const mw_shop *own = job->build->shop;
    if (!own) {
        return MW_OK;
    }
    mw_diags quiet;
    mw_status status = mw_diags_start(&quiet);
    if (status == MW_OK) {
        status = mw_library_shop(job->library, own->name, job_nowhere(), &own, &quiet);
    }
    mw_diags_free(&quiet);
    return status;
}

mw_status draft_try(draft *of, mw_status (*show)(void *context), void *context, mw_diags *diags)
{
    mw_job *job = of->job;
    char *key =
        mw_arena_print(job->scratch, "mould %.*s", (int)of->mould.name.length, of->mould.name.at);
    const entry **items = mw_arena_get(job->scratch, 3 * sizeof *items);
    if (!key || !items) {
        return MW_NO_MEMORY;
    }
    of->mould.key = mw_str_of(key);
    uint32_t count = 0;
    items[count++] = &of->shop;
    if (of->start_given) {
        items[count++] = &of->start;
    }
    items[count++] = &of->mould;
    document draft_document = {.items = items, .count = count};
    build *made = NULL;
    mw_status status = build_make(job, &draft_document, &made, diags);
    if (status == MW_OK) {
        build *own = job->build;
        job->build = made;
        status = show(context);
        job->build = own;
        build_free(made);
    }
    mw_status back = put_shop_back(job);
    return status == MW_OK ? back : status;
}

mw_status mw_job_ballpark(mw_job *job, mw_span statement, mw_status (*show)(void *context),
                          void *context, mw_diags *diags)
{
    draft made;
    mw_status status = draft_read(job, statement, &made, diags);
    return status == MW_OK ? draft_try(&made, show, context, diags) : status;
}

mw_job_options mw_job_options_of(const mw_job *job)
{
    return (mw_job_options){.today_s = job->today_s,
                            .folders = (const char *const *)job->folders,
                            .folder_count = job->folder_count};
}
