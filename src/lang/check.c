/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Checking a formula: its nodes in a row, each looked at once. */
#include "check.h"

#include <string.h>

#include "mouldwright/memory.h"

mw_compiler *mw_compiler_new(mw_measure *measure, mw_values *values)
{
    mw_compiler *compiler = mw_memory_get(sizeof *compiler);
    if (compiler == NULL) {
        return NULL;
    }
    compiler->measure = measure;
    compiler->values = values;
    size_t count;
    const mw_function *rows = mw_functions(&count);
    if (mw_signatures_make(&compiler->own, measure, rows, count) != MW_OK) {
        mw_compiler_free(compiler);
        return NULL;
    }
    size_t used = 0;
    if (mw_unit_read(measure, mw_str_of("d"), &used, &compiler->day) != MW_OK ||
        mw_unit_read(measure, mw_str_of("%"), &used, &compiler->percent) != MW_OK ||
        mw_unit_read(measure, mw_str_of("ppm"), &used, &compiler->ppm) != MW_OK) {
        mw_compiler_free(compiler);
        return NULL;
    }
    return compiler;
}

void mw_compiler_free(mw_compiler *compiler)
{
    if (compiler == NULL) {
        return;
    }
    mw_signatures_free(&compiler->own);
    mw_signatures_free(&compiler->host);
    mw_memory_give(compiler->facts);
    mw_memory_give(compiler->children);
    mw_memory_give(compiler->slots);
    mw_memory_give(compiler->reads);
    mw_memory_give(compiler->seen);
    for (size_t i = 0; i < MW_PIECES; i++) {
        mw_text_free(&compiler->pieces[i]);
    }
    mw_emission *out = &compiler->out;
    mw_memory_give(out->code.items);
    mw_memory_give(out->constants);
    mw_memory_give(out->values);
    mw_memory_give(out->ends);
    mw_memory_give(out->operands);
    mw_memory_give(out->items);
    mw_memory_give(compiler);
}

static bool begin(mw_compiler *compiler, const mw_question *question, mw_diags *diags)
{
    compiler->ast = question->ast;
    compiler->scope = question->scope;
    compiler->diags = diags;
    compiler->failed = false;
    compiler->pending = false;
    compiler->no_memory = false;
    compiler->blocks = false;
    compiler->slot_count = 0;
    compiler->read_count = 0;
    compiler->out.results = 0;
    const mw_host *host = question->scope != NULL ? &question->scope->host : NULL;
    if (host != NULL && host->functions != NULL &&
        (host->functions != compiler->host.rows || host->count != compiler->host.count) &&
        mw_signatures_make(&compiler->host, compiler->measure, host->functions, host->count) !=
            MW_OK) {
        return false;
    }
    compiler->fact_count = 0;
    return mw_check_room((void **)&compiler->children, &compiler->child_capacity, 3,
                         sizeof *compiler->children);
}

/* The result must fit the slot. It then has the slot's kind. */
static void check_slot(mw_compiler *compiler, mw_type slot)
{
    const uint32_t root = compiler->fact_count - 1;
    mw_fact *fact = &compiler->facts[root];
    if (slot == MW_NONE || fact->bad) {
        return;
    }
    const mw_type_fault fault = mw_type_fits(compiler->measure, fact->type, slot);
    if (fault == MW_TYPE_FINE) {
        fact->type = slot;
        return;
    }
    if (fault == MW_TYPE_MEMORY) {
        compiler->no_memory = true;
        return;
    }
    const mw_code code = fault == MW_TYPE_CURRENCIES ? MW_CODE_NO_RATE : MW_CODE_WRONG_KIND;
    const char *is = mw_check_is(compiler, root, 0);
    const char *expected = mw_check_kind(compiler, slot, 1);
    mw_diag *diag = mw_diags_error(compiler->diags, code, mw_check_span(compiler, root),
                                   "%s; %s is expected here", is, expected);
    if (fact->type == MW_TYPE_NUMBER && slot != MW_TYPE_TRUTH && slot != MW_TYPE_TEXT &&
        slot != MW_TYPE_DATE) {
        const char *unit = mw_check_unit(compiler, mw_unit_usual(compiler->measure, slot), 2);
        mw_diag_try(compiler->diags, diag, "give it a unit, such as %s", unit);
    } else if (slot == MW_TYPE_DATE) {
        mw_diag_try(compiler->diags, diag, "dates are year-month-day: 2027-03-11");
    }
}

static mw_status answer(mw_compiler *compiler, mw_meaning *meaning)
{
    const mw_fact *root = &compiler->facts[compiler->fact_count - 1];
    mw_check_gather_reads(compiler);
    if (compiler->no_memory) {
        return MW_NO_MEMORY;
    }
    *meaning = (mw_meaning){.type = root->type,
                            .unit = root->unit,
                            .shape = root->list    ? MW_SHAPE_LIST
                                     : root->range ? MW_SHAPE_RANGE
                                                   : MW_SHAPE_ONE,
                            .length = root->list    ? root->length
                                      : root->range ? 3
                                                    : 1,
                            .constant = compiler->read_count == 0};
    return mw_emit_make(compiler, meaning->shape, meaning->length);
}

/* What the check as a whole comes to so far. */
static mw_status standing(const mw_compiler *compiler)
{
    if (compiler->no_memory || compiler->diags->no_memory) {
        return MW_NO_MEMORY;
    }
    return compiler->pending ? MW_PENDING : compiler->failed ? MW_FAILED : MW_OK;
}

static bool walk(mw_compiler *compiler, uint32_t index);

static bool walk_all(mw_compiler *compiler, const mw_node *node)
{
    const uint32_t *links = compiler->ast->links + node->a;
    if (!mw_check_room((void **)&compiler->children, &compiler->child_capacity, node->count,
                       sizeof *compiler->children)) {
        compiler->no_memory = true;
        return false;
    }
    for (uint32_t i = 0; i < node->count; i++) {
        if (!walk(compiler, links[i])) {
            return false;
        }
    }
    return true;
}

static bool walk_children(mw_compiler *compiler, const mw_node *node)
{
    switch ((mw_node_kind)node->kind) {
    case MW_NODE_NUMBER:
    case MW_NODE_DATE:
    case MW_NODE_TEXT:
    case MW_NODE_TRUTH:
    case MW_NODE_PATH:
    case MW_NODE_USUAL:
        return true;
    case MW_NODE_LIST:
    case MW_NODE_CALL:
        return walk_all(compiler, node);
    case MW_NODE_NEGATE:
    case MW_NODE_NOT:
    case MW_NODE_AS:
        return walk(compiler, node->a);
    case MW_NODE_BINARY:
        return walk(compiler, node->a) && walk(compiler, node->b);
    case MW_NODE_IF:
    case MW_NODE_RANGE:
        return walk(compiler, node->a) && (node->b == MW_NONE || walk(compiler, node->b)) &&
               walk(compiler, node->c);
    }
    return true;
}

/* Puts a node into the row behind its children and checks it. Returns false when there is no point
 * in going on. The height of trees is limited: see MW_TREE_HEIGHT. */
static bool walk(mw_compiler *compiler, uint32_t index)
{
    const uint32_t start = compiler->fact_count;
    if (!walk_children(compiler, &compiler->ast->nodes[index])) {
        return false;
    }
    const uint32_t at = compiler->fact_count;
    if (!mw_check_room((void **)&compiler->facts, &compiler->fact_capacity, at + 1,
                       sizeof *compiler->facts)) {
        compiler->no_memory = true;
        return false;
    }
    mw_fact *fact = &compiler->facts[at];
    *fact =
        (mw_fact){.node = index, .start = start, .length = 1, .block = MW_NONE, .outer = MW_NONE};
    compiler->fact_count = at + 1;
    const size_t before = compiler->diags->errors;
    mw_check_node(compiler, at);
    if (compiler->diags->errors != before) {
        fact->bad = true;
        compiler->failed = true;
    }
    compiler->no_memory = compiler->no_memory || fact->unit == MW_NONE;
    return !compiler->no_memory && !compiler->pending;
}

mw_status mw_compiler_check(mw_compiler *compiler, const mw_question *question, mw_meaning *meaning,
                            mw_diags *diags)
{
    if (!begin(compiler, question, diags)) {
        return MW_NO_MEMORY;
    }
    if (!walk(compiler, question->root)) {
        return standing(compiler);
    }
    const size_t before = diags->errors;
    check_slot(compiler, question->slot);
    compiler->failed = compiler->failed || diags->errors != before;
    const mw_status status = standing(compiler);
    return status == MW_OK ? answer(compiler, meaning) : status;
}
