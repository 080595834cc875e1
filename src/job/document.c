/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The document of a job: statements that change it become entries, one for each thing they say. */
#include "parts.h"

#include <string.h>

#include "mouldwright/memory.h"

mw_span job_nowhere(void)
{
    return (mw_span){.source = MW_NONE};
}

mw_str job_copy(mw_arena *arena, mw_str text)
{
    char *copy = mw_arena_copy(arena, text.at ? text.at : "", text.length);
    return (mw_str){copy, copy ? text.length : 0};
}

mw_status document_add(entry_list *list, const entry *item)
{
    void *items = (void *)list->items;
    if (!mw_memory_grow32(&items, &list->capacity, list->count + 1, sizeof *list->items)) {
        return MW_NO_MEMORY;
    }
    list->items = items;
    list->items[list->count++] = item;
    return MW_OK;
}

void entry_list_free(entry_list *list)
{
    mw_memory_give((void *)list->items);
    mw_memory_give((void *)list->imports);
    mw_names_free(list->keys);
    *list = (entry_list){0};
}

/* ---- one statement ---- */

static entry *new_entry(mw_job *job, entry_kind kind, const mw_statement *statement)
{
    entry *made = mw_arena_get(job->arena, sizeof *made);
    if (made) {
        made->kind = kind;
        made->from = job->importing;
        made->span = statement->span;
        made->name = statement->name.source == MW_NONE
                         ? (mw_str){0}
                         : mw_sources_piece(job->sources, statement->name);
        made->name_at = statement->name;
        made->formula = statement->formula_span;
    }
    return made;
}

static bool set_key(mw_job *job, entry *of, const char *word)
{
    char *key = mw_arena_print(job->arena, "%s %.*s", word, (int)of->name.length, of->name.at);
    of->key = mw_str_of(key);
    return key != NULL;
}

bool document_taken_word(mw_str name)
{
    static const char *const words[] = {"moulds", "shop", "job", "materials", "steps"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (mw_str_is(name, words[i])) {
            return true;
        }
    }
    return false;
}

static mw_status refuse_word(mw_str name, mw_span at, mw_diags *diags)
{
    mw_diag *diag = mw_diags_error(diags, MW_CODE_NAME_TAKEN, at,
                                   "`%.*s` is a word of the language", (int)name.length, name.at);
    mw_diag_try(diags, diag, "choose another name, such as my_%.*s", (int)name.length, name.at);
    return MW_FAILED;
}

static mw_status set_entry(mw_job *job, const mw_statement *statement, entry_list *list,
                           mw_diags *diags)
{
    const mw_node *path = &job->ast.nodes[statement->path];
    mw_span at = {job->ast.source, path->begin, path->end};
    if (path->count > ENTRY_PARTS_MAX) {
        mw_diags_error(diags, MW_CODE_UNKNOWN_NAME, at, "this name has too many parts");
        return MW_FAILED;
    }
    entry *made = new_entry(job, ENTRY_SET, statement);
    if (!made) {
        return MW_NO_MEMORY;
    }
    mw_text name = {0};
    for (uint32_t i = 0; i < path->count; i++) {
        made->parts[i] = job->ast.parts[path->a + i];
        mw_text_adds(&name, i ? "." : "");
        mw_text_add_str(&name, made->parts[i]);
    }
    made->part_count = path->count;
    made->name = job_copy(job->arena, (mw_str){mw_text_chars(&name), name.length});
    bool lost = name.failed || !made->name.at;
    mw_text_free(&name);
    made->name_at = at;
    for (uint32_t i = 0; i < job->ast.node_count; i++) {
        made->uses_usual = made->uses_usual || job->ast.nodes[i].kind == MW_NODE_USUAL;
    }
    if (lost || !set_key(job, made, "set")) {
        return MW_NO_MEMORY;
    }
    if (made->part_count == 1 && document_taken_word(made->parts[0])) {
        return refuse_word(made->parts[0], at, diags);
    }
    return document_add(list, made);
}

mw_str document_key(mw_job *job, const mw_statement *statement, const char *word, mw_arena *arena)
{
    mw_text key = {0};
    const mw_node *path = &job->ast.nodes[statement->path];
    mw_text_adds(&key, word);
    for (uint32_t i = 0; i < path->count; i++) {
        mw_text_adds(&key, i ? "." : " ");
        mw_text_add_str(&key, job->ast.parts[path->a + i]);
    }
    mw_str made =
        key.failed ? (mw_str){0} : job_copy(arena, (mw_str){mw_text_chars(&key), key.length});
    mw_text_free(&key);
    return made;
}

mw_status document_taken(mw_job *job, const mw_statement *statement, entry_list *list)
{
    static const char *const words[] = {"set", "mould", "alternative"};
    size_t count = statement->kind == MW_SAY_DROP ? 3 : 1;
    const mw_node *path = &job->ast.nodes[statement->path];
    mw_span at = {job->ast.source, path->begin, path->end};
    mw_status status = MW_OK;
    for (size_t i = 0; status == MW_OK && i < count; i++) {
        entry *made = new_entry(job, ENTRY_SET, statement);
        mw_str key = document_key(job, statement, words[i], job->arena);
        if (!made || !key.at) {
            return MW_NO_MEMORY;
        }
        made->key = key;
        made->name = mw_sources_piece(job->sources, at);
        made->name_at = at;
        status = document_add(list, made);
    }
    return status;
}

static mw_status mould_entry(mw_job *job, const mw_statement *statement, entry_list *list,
                             mw_diags *diags)
{
    entry *made = new_entry(job, ENTRY_MOULD, statement);
    entry_field *fields =
        mw_arena_get(job->arena, (statement->item_count + 1) * sizeof *made->fields);
    if (!made || !fields || !set_key(job, made, "mould")) {
        return MW_NO_MEMORY;
    }
    if (document_taken_word(made->name)) {
        return refuse_word(made->name, made->name_at, diags);
    }
    for (uint32_t i = 0; i < statement->item_count; i++) {
        const mw_item *item = &job->ast.items[statement->first_item + i];
        fields[i] = (entry_field){.name = mw_sources_piece(job->sources, item->name),
                                  .name_at = item->name,
                                  .value = item->value,
                                  .head_unit = MW_NONE};
    }
    made->fields = fields;
    made->field_count = statement->item_count;
    return document_add(list, made);
}

/* What an alternative sets, each path once. */
static mw_status alternative_entry(mw_job *job, const mw_statement *statement, entry_list *list,
                                   mw_diags *diags)
{
    entry *made = new_entry(job, ENTRY_ALTERNATIVE, statement);
    entry_field *fields =
        mw_arena_get(job->arena, ((size_t)statement->item_count + 1) * sizeof *made->fields);
    if (!made || !fields || !set_key(job, made, "alternative")) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < statement->item_count; i++) {
        const mw_item *item = &job->ast.items[statement->first_item + i];
        fields[i] = (entry_field){.name = mw_sources_piece(job->sources, item->name),
                                  .name_at = item->name,
                                  .value = item->value,
                                  .head_unit = MW_NONE};
        for (uint32_t k = 0; k < i; k++) {
            if (mw_str_equal(fields[k].name, fields[i].name)) {
                mw_diag *diag =
                    mw_diags_error(diags, MW_CODE_NAME_TWICE, item->name, "`%.*s` is set twice",
                                   (int)fields[i].name.length, fields[i].name.at);
                mw_diag_other(diags, diag, fields[k].name_at, "the first time");
                return MW_FAILED;
            }
        }
    }
    made->fields = fields;
    made->field_count = statement->item_count;
    return document_add(list, made);
}

static mw_status plain_entry(mw_job *job, entry_kind kind, const char *key,
                             const mw_statement *statement, entry_list *list)
{
    entry *made = new_entry(job, kind, statement);
    if (!made) {
        return MW_NO_MEMORY;
    }
    made->key = mw_str_of(key);
    return document_add(list, made);
}

mw_status document_entries(mw_job *job, const mw_statement *statement, entry_list *list,
                           mw_diags *diags)
{
    switch (statement->kind) {
    case MW_SAY_SET:
        return set_entry(job, statement, list, diags);
    case MW_SAY_MOULD:
        return mould_entry(job, statement, list, diags);
    case MW_SAY_ALTERNATIVE:
        return alternative_entry(job, statement, list, diags);
    case MW_SAY_SHOP:
        return plain_entry(job, ENTRY_SHOP, "shop", statement, list);
    case MW_SAY_START:
        return plain_entry(job, ENTRY_START, "start", statement, list);
    case MW_SAY_INCLUDE:
    case MW_SAY_MOULDS_FROM:
        return document_import(job, statement, list, diags);
    case MW_SAY_COPY_MOULD:
        return copy_entries(job, statement, list, diags);
    case MW_SAY_COPY_JOB:
    case MW_SAY_NEW:
    case MW_SAY_BALLPARK:
    case MW_SAY_NOTHING:
    case MW_SAY_SHOW:
    case MW_SAY_RESTORE:
    case MW_SAY_WHAT_IF:
    case MW_SAY_WEIGH:
    case MW_SAY_WHY:
    case MW_SAY_DROP:
    case MW_SAY_COMMAND:
        break;
    }
    return MW_OK;
}
