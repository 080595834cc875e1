/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checking names: what the scope says they stand for, and what to say of those that nobody knows.
 */
#include "check.h"

#include <string.h>

#include "mouldwright/suggest.h"

static mw_path path_of(const mw_compiler *compiler, uint32_t at)
{
    const mw_node *node = mw_check_node_of(compiler, at);
    return (mw_path){.parts = compiler->ast->parts + node->a,
                     .count = node->count,
                     .span = mw_check_span(compiler, at)};
}

static void take_list(mw_compiler *compiler, mw_fact *fact, const mw_reference *found)
{
    const uint32_t first = compiler->slot_count;
    if (found->count > UINT32_MAX - first ||
        !mw_check_room((void **)&compiler->slots, &compiler->slot_capacity, first + found->count,
                       sizeof *compiler->slots)) {
        compiler->no_memory = true;
        return;
    }
    if (found->count > 0) {
        memcpy(compiler->slots + first, found->slots, found->count * sizeof *found->slots);
    }
    compiler->slot_count += found->count;
    fact->from = MW_FROM_SLOTS;
    fact->first = first;
    fact->list = true;
    fact->length = found->count;
}

static void take_reference(mw_compiler *compiler, uint32_t at, const mw_reference *found)
{
    mw_fact *fact = &compiler->facts[at];
    fact->type = found->type;
    fact->unit = found->unit != MW_NONE ? found->unit : MW_UNIT_ONE;
    if (found->list) {
        take_list(compiler, fact, found);
    } else if (found->constant) {
        fact->from = MW_FROM_CONSTANT;
        fact->value = found->value;
    } else {
        fact->from = MW_FROM_CELL;
        fact->first = found->slot;
    }
}

/* What else a single unknown word can be. */
static bool try_other_meaning(mw_compiler *compiler, mw_diag *diag, mw_str word)
{
    size_t used = 0;
    mw_unit unit;
    const char *name = mw_text_chars(&compiler->pieces[0]);
    if (mw_unit_read(compiler->measure, word, &used, &unit) == MW_OK && used == word.length) {
        mw_diag_try(compiler->diags, diag, "%s is a unit: write it behind a number, as in 3 %s",
                    name, name);
        return true;
    }
    if (mw_signatures_find(&compiler->own, word) != NULL ||
        mw_signatures_find(&compiler->host, word) != NULL) {
        mw_diag_try(compiler->diags, diag, "%s is a function: write %s(...)", name, name);
        return true;
    }
    return false;
}

static void report_unknown(mw_compiler *compiler, const mw_path *path)
{
    mw_text *name = &compiler->pieces[0];
    mw_text *suggestion = &compiler->pieces[1];
    mw_text_clear(name);
    mw_text_clear(suggestion);
    for (uint32_t i = 0; i < path->count; i++) {
        mw_text_adds(name, i > 0 ? "." : "");
        mw_text_add_str(name, path->parts[i]);
    }
    mw_diag *diag = mw_diags_error(compiler->diags, MW_CODE_UNKNOWN_NAME, path->span,
                                   "there is no %s here", mw_text_chars(name));
    compiler->no_memory = compiler->no_memory || name->failed;
    if (diag == NULL) {
        return; /* only counted: looking for suggestions would cost more than it is worth */
    }
    const mw_scope *scope = compiler->scope;
    if (path->count == 1 && try_other_meaning(compiler, diag, path->parts[0])) {
        return;
    }
    if (scope != NULL && scope->suggest != NULL &&
        scope->suggest(scope->context, path, suggestion)) {
        mw_diag_try(compiler->diags, diag, "%s", mw_text_chars(suggestion));
    }
    compiler->no_memory = compiler->no_memory || suggestion->failed;
}

void mw_check_path(mw_compiler *compiler, uint32_t at)
{
    mw_fact *fact = &compiler->facts[at];
    const mw_path path = path_of(compiler, at);
    const mw_scope *scope = compiler->scope;
    mw_reference found = {.slots = NULL};
    const mw_status status = scope != NULL && scope->find != NULL
                                 ? scope->find(scope->context, &path, &found, compiler->diags)
                                 : MW_NOT_FOUND;
    switch (status) {
    case MW_OK:
        take_reference(compiler, at, &found);
        return;
    case MW_PENDING:
        /* A formula that is refused anyway need not wait, and must not be reported twice. */
        compiler->pending = !compiler->failed;
        fact->bad = true;
        return;
    case MW_NOT_FOUND:
        report_unknown(compiler, &path);
        fact->bad = true;
        return;
    case MW_FAILED:
        fact->bad = true;
        compiler->failed = true;
        return;
    case MW_NO_MEMORY:
    case MW_IO:
        compiler->no_memory = true;
        return;
    }
}

void mw_check_usual(mw_compiler *compiler, uint32_t at)
{
    const mw_scope *scope = compiler->scope;
    if (scope != NULL && scope->usual != NULL) {
        take_reference(compiler, at, scope->usual);
        return;
    }
    mw_diags_error(compiler->diags, MW_CODE_NO_USUAL, mw_check_span(compiler, at),
                   "there is no usual value here");
}

/* What other languages, and people, call a function that has a plain name here; NULL: nothing known. */
static const char *plain_name(mw_str name)
{
    static const char *const other[][2] = {
        {"max", "largest"},
        {"maximum", "largest"},
        {"min", "smallest"},
        {"minimum", "smallest"},
        {"avg", "mean"},
        {"average", "mean"},
        {"total", "sum"},
        {"ceil", "round_up"},
        {"ceiling", "round_up"},
        {"floor", "round_down"},
        {"round", "round_to"},
        {"log", "ln"},
        {"pow", "^"},
        {"power", "^"},
        {"length", "count"},
    };
    for (size_t i = 0; i < sizeof other / sizeof *other; i++) {
        if (mw_str_is(name, other[i][0])) {
            return other[i][1];
        }
    }
    return NULL;
}

static void offer_all(const mw_signatures *signatures, mw_suggest *suggest)
{
    for (uint32_t i = 0; i < signatures->count; i++) {
        mw_suggest_offer(suggest, mw_str_of(signatures->rows[i].name));
    }
}

void mw_check_unknown_function(mw_compiler *compiler, uint32_t at)
{
    const mw_node *node = mw_check_node_of(compiler, at);
    const mw_str name = compiler->ast->parts[node->b];
    mw_text *word = &compiler->pieces[0];
    mw_text_clear(word);
    mw_text_add_str(word, name);
    compiler->no_memory = compiler->no_memory || word->failed;
    const mw_span span = {compiler->ast->source, node->at, node->at + (uint32_t)name.length};
    mw_diag *diag = mw_diags_error(compiler->diags, MW_CODE_UNKNOWN_FUNCTION, span,
                                   "there is no function %s", mw_text_chars(word));
    if (diag == NULL) {
        return;
    }
    const char *plain = plain_name(name);
    if (plain != NULL) {
        mw_diag_try(compiler->diags, diag, "here it is %s", plain);
        return;
    }
    mw_suggest suggest;
    mw_suggest_start(&suggest, name);
    offer_all(&compiler->own, &suggest);
    if (compiler->scope != NULL && compiler->scope->host.functions != NULL) {
        offer_all(&compiler->host, &suggest);
    }
    if (suggest.best.length > 0) {
        mw_diag_try(compiler->diags, diag, "did you mean %.*s?", (int)suggest.best.length,
                    suggest.best.at);
    }
}

/* Few reads are compared one by one; more than that go through a set. */
#define FEW 16u

static uint32_t slot_of(const mw_compiler *compiler, uint32_t cell)
{
    const uint32_t mask = compiler->seen_capacity - 1;
    uint32_t slot = (cell * 0x9e3779b1u) & mask;
    while (compiler->seen[slot] != 0 && compiler->reads[compiler->seen[slot] - 1] != cell) {
        slot = (slot + 1) & mask;
    }
    return slot;
}

/* Makes the set large enough for the present reads and as many again. */
static bool rebuild_seen(mw_compiler *compiler)
{
    uint32_t size = 64;
    while (size < 4 * compiler->read_count) {
        size *= 2;
    }
    if (size > compiler->seen_capacity) {
        uint32_t *larger = mw_memory_resize(compiler->seen, size * sizeof *larger);
        if (larger == NULL) {
            return false;
        }
        compiler->seen = larger;
        compiler->seen_capacity = size;
    }
    memset(compiler->seen, 0, compiler->seen_capacity * sizeof *compiler->seen);
    for (uint32_t i = 0; i < compiler->read_count; i++) {
        compiler->seen[slot_of(compiler, compiler->reads[i])] = i + 1;
    }
    return true;
}

static bool known_read(const mw_compiler *compiler, uint32_t cell)
{
    if (compiler->read_count > FEW) {
        return compiler->seen[slot_of(compiler, cell)] != 0;
    }
    for (uint32_t i = 0; i < compiler->read_count; i++) {
        if (compiler->reads[i] == cell) {
            return true;
        }
    }
    return false;
}

static void add_read(mw_compiler *compiler, uint32_t cell)
{
    if (compiler->no_memory || known_read(compiler, cell)) {
        return;
    }
    if (!mw_check_room((void **)&compiler->reads, &compiler->read_capacity,
                       compiler->read_count + 1, sizeof *compiler->reads)) {
        compiler->no_memory = true;
        return;
    }
    compiler->reads[compiler->read_count++] = cell;
    if (compiler->read_count <= FEW) {
        return;
    }
    if (compiler->read_count == FEW + 1 || 2 * compiler->read_count > compiler->seen_capacity) {
        compiler->no_memory = !rebuild_seen(compiler);
    } else {
        compiler->seen[slot_of(compiler, cell)] = compiler->read_count;
    }
}

void mw_check_gather_reads(mw_compiler *compiler)
{
    for (uint32_t at = 0; at < compiler->fact_count; at++) {
        const mw_fact *fact = &compiler->facts[at];
        if (fact->uncounted || fact->start != at) {
            continue; /* a conversion hands on what stands before it */
        }
        if (fact->from == MW_FROM_CELL) {
            add_read(compiler, fact->first);
        }
        for (uint32_t i = 0; fact->from == MW_FROM_SLOTS && i < fact->length; i++) {
            add_read(compiler, compiler->slots[fact->first + i]);
        }
    }
}

const uint32_t *mw_compiler_reads(const mw_compiler *compiler, uint32_t *count)
{
    *count = compiler->read_count;
    return compiler->reads;
}
