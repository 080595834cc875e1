/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is uncertain in a job: ranges and functions of chance in its formulas. In a trial each becomes a cell of its own:
 * the cell of the line or quantity, if it is the whole formula, else a line made for it. */
#include <math.h>
#include <string.h>

#include "mouldwright/memory.h"
#include "risk.h"

/* A formula of the job that is looked at. */
typedef struct formula {
    const entry *set;
    uint32_t field; /* MW_NONE: the entry's own */
    mw_span span;
    mw_ast ast;
    uint32_t root;
} formula;

/* What kind of uncertain thing a node is; MW_RISK_SHAPE_COUNT: none. */
static mw_risk_shape shape_of(const mw_ast *ast, const mw_node *node)
{
    if (node->kind == MW_NODE_RANGE) {
        return MW_RISK_TRIANGULAR;
    }
    if (node->kind != MW_NODE_CALL) {
        return MW_RISK_SHAPE_COUNT;
    }
    mw_str name = ast->parts[node->b];
    mw_risk_shape shape = functions_risk_shape(name.at, (uint32_t)name.length);
    bool fits = shape < MW_RISK_SHAPE_COUNT && node->count == mw_risk_parts(shape);
    return fits ? shape : MW_RISK_SHAPE_COUNT;
}

/* Whether a node lies inside another uncertain one. */
static bool is_inner(const formula *of, uint32_t at)
{
    const mw_node *node = &of->ast.nodes[at];
    for (uint32_t i = 0; i < of->ast.node_count; i++) {
        const mw_node *other = &of->ast.nodes[i];
        bool around = other->begin <= node->begin && other->end >= node->end && i != at;
        if (around && shape_of(&of->ast, other) < MW_RISK_SHAPE_COUNT) {
            return true;
        }
    }
    return false;
}

static bool reads_usual(const formula *of, const mw_node *within)
{
    for (uint32_t i = 0; i < of->ast.node_count; i++) {
        const mw_node *node = &of->ast.nodes[i];
        if (node->kind == MW_NODE_USUAL && node->begin >= within->begin &&
            node->end <= within->end) {
            return true;
        }
    }
    return false;
}

static mw_status refuse_usual(risk_model *model, const formula *of, const mw_node *node)
{
    mw_span at = {of->ast.source, node->begin, node->end};
    mw_diag *diag = mw_diags_error(model->diags, MW_CODE_NO_USUAL, at,
                                   "`usual` cannot stand inside this where risk is asked for");
    mw_diag_try(model->diags, diag, "usual * (0.9 .. 1 .. 1.3)");
    return MW_FAILED;
}

/* ---- the text of the trial ---- */

static mw_str piece(const risk_model *model, uint32_t source, uint32_t begin, uint32_t end)
{
    return mw_sources_piece(model->job->sources, (mw_span){source, begin, end});
}

/* Adds an entry for a line whose formula stands in the text from `begin` on. The span gets its source later. */
static mw_status add_line(risk_model *model, mw_str name, uint32_t begin)
{
    entry *made = mw_arena_get(model->job->scratch, sizeof *made);
    char *key = made ? mw_arena_print(model->job->scratch, "set %s", name.at) : NULL;
    if (!key) {
        return MW_NO_MEMORY;
    }
    made->kind = ENTRY_SET;
    made->name = name;
    made->parts[0] = name;
    made->part_count = 1;
    made->key = mw_str_of(key);
    made->formula = (mw_span){MW_NONE, begin, (uint32_t)model->text.length};
    made->span = made->name_at = made->formula;
    mw_text_addc(&model->text, '\n');
    return document_add(&model->list, made);
}

/* Without memory the text has no address. */
static mw_str made_name(risk_model *model, const char *what)
{
    char *name =
        mw_arena_print(model->job->scratch, "risk_input_%u_%s", (unsigned)model->input_count, what);
    return name ? mw_str_of(name) : (mw_str){0};
}

/* The arguments of a call, as a list that has a cell for each. */
static mw_status add_arguments(risk_model *model, const formula *of, const mw_node *node,
                               risk_input *input)
{
    const uint32_t *children = of->ast.links + node->a;
    uint32_t first = input->shape == MW_RISK_CHANCE ? 1 : 0;
    mw_status status = MW_OK;
    if (first == 1) {
        uint32_t begin = (uint32_t)model->text.length;
        const mw_node *child = &of->ast.nodes[children[0]];
        mw_text_add_str(&model->text, piece(model, of->ast.source, child->begin, child->end));
        input->chance = made_name(model, "share");
        status = input->chance.at ? add_line(model, input->chance, begin) : MW_NO_MEMORY;
    }
    uint32_t begin = (uint32_t)model->text.length;
    mw_text_addc(&model->text, '[');
    for (uint32_t i = first; i < node->count; i++) {
        const mw_node *child = &of->ast.nodes[children[i]];
        mw_text_adds(&model->text, i > first ? ", " : "");
        mw_text_add_str(&model->text, piece(model, of->ast.source, child->begin, child->end));
    }
    mw_text_addc(&model->text, ']');
    input->parts = made_name(model, "parts");
    if (status == MW_OK) {
        status = input->parts.at ? add_line(model, input->parts, begin) : MW_NO_MEMORY;
    }
    return status;
}

static mw_status add_input(risk_model *model, const formula *of, uint32_t at)
{
    const mw_node *node = &of->ast.nodes[at];
    void *inputs = model->inputs;
    bool root = at == of->root;
    if ((!root || node->kind == MW_NODE_CALL) && reads_usual(of, node)) {
        return refuse_usual(model, of, node);
    }
    if (!mw_memory_grow32(&inputs, &model->input_capacity, model->input_count + 1,
                          sizeof *model->inputs)) {
        return MW_NO_MEMORY;
    }
    model->inputs = inputs;
    risk_input input = {.set = of->set,
                        .field = of->field,
                        .at = {of->ast.source, node->begin, node->end},
                        .shape = shape_of(&of->ast, node),
                        .root = root};
    mw_status status = MW_OK;
    if (node->kind == MW_NODE_CALL) {
        status = add_arguments(model, of, node, &input);
    }
    if (status == MW_OK && !root) {
        uint32_t begin = (uint32_t)model->text.length;
        mw_text_add_str(&model->text, piece(model, of->ast.source, node->begin, node->end));
        input.line = made_name(model, "value");
        status = input.line.at ? add_line(model, input.line, begin) : MW_NO_MEMORY;
    }
    model->inputs[model->input_count++] = input;
    return status;
}

/* The formula again, with the made lines in the place of inputs from `first` on. */
static mw_span rewritten(risk_model *model, const formula *of, uint32_t first)
{
    uint32_t begin = (uint32_t)model->text.length;
    uint32_t at = of->span.begin;
    for (uint32_t i = first; i < model->input_count; i++) {
        const risk_input *input = &model->inputs[i];
        mw_text_add_str(&model->text, piece(model, of->span.source, at, input->at.begin));
        mw_text_add_str(&model->text, input->line);
        at = input->at.end;
    }
    mw_text_add_str(&model->text, piece(model, of->span.source, at, of->span.end));
    mw_span made = {MW_NONE, begin, (uint32_t)model->text.length};
    mw_text_addc(&model->text, '\n');
    return made;
}

/* Lists hold entries that nobody changes; those of a trial were made by it, which may. */
static entry *own_entry(const entry *item)
{
    entry *own;
    memcpy(&own, &item, sizeof own);
    return own;
}

/* The entry that stands in the list for one of the job: the same one, where a mould has several uncertain fields. */
static entry *trial_entry(risk_model *model, const entry *of)
{
    for (uint32_t i = 0; i < model->input_count; i++) {
        if (model->inputs[i].set == of && model->inputs[i].trial) {
            for (uint32_t k = 0; k < model->list.count; k++) {
                if (model->list.items[k] == model->inputs[i].trial) {
                    return own_entry(model->list.items[k]);
                }
            }
        }
    }
    entry *made = mw_arena_get(model->job->scratch, sizeof *made);
    size_t bytes = of->field_count * sizeof *of->fields;
    entry_field *fields = mw_arena_get(model->job->scratch, bytes + 1);
    bool whole = made && fields;
    if (whole) {
        *made = *of;
        made->fields = fields;
        memcpy(fields, of->fields ? of->fields : fields, bytes);
    }
    return whole && document_add(&model->list, made) == MW_OK ? made : NULL;
}

/* Inputs come in the order of their text, so that the text between them can be copied. */
static uint32_t next_input(const formula *of, uint32_t from_byte)
{
    uint32_t best = MW_NONE;
    for (uint32_t i = 0; i < of->ast.node_count; i++) {
        const mw_node *node = &of->ast.nodes[i];
        if (shape_of(&of->ast, node) < MW_RISK_SHAPE_COUNT && node->begin >= from_byte &&
            !is_inner(of, i) && (best == MW_NONE || node->begin < of->ast.nodes[best].begin)) {
            best = i;
        }
    }
    return best;
}

static mw_status look_at(risk_model *model, formula *of)
{
    mw_diags quiet;
    if (mw_diags_start(&quiet) != MW_OK) {
        return MW_NO_MEMORY;
    }
    mw_reader reader = {&of->ast, model->job->measure, model->job->sources, &quiet};
    mw_status status = mw_parse_formula(&reader, of->span, &of->root);
    mw_diags_free(&quiet);
    uint32_t first = model->input_count;
    uint32_t at = status == MW_OK ? next_input(of, 0) : MW_NONE;
    while (status == MW_OK && at != MW_NONE) {
        uint32_t end = of->ast.nodes[at].end;
        status = add_input(model, of, at);
        at = next_input(of, end);
    }
    if (status != MW_OK || model->input_count == first || model->inputs[first].root) {
        return status == MW_NO_MEMORY || model->input_count > first ? status : MW_OK;
    }
    mw_span made = rewritten(model, of, first);
    entry *trial = trial_entry(model, of->set);
    if (!trial) {
        return MW_NO_MEMORY;
    }
    if (of->field == MW_NONE) {
        trial->formula = made;
    } else {
        trial->fields[of->field].value = made;
    }
    for (uint32_t i = first; i < model->input_count; i++) {
        model->inputs[i].trial = trial;
    }
    return MW_OK;
}

static mw_status look_at_entry(risk_model *model, const entry *item)
{
    mw_status status = MW_OK;
    if (item->kind == ENTRY_SET) {
        formula of = {.set = item, .field = MW_NONE, .span = item->formula};
        status = look_at(model, &of);
        mw_ast_free(&of.ast);
    }
    for (uint32_t i = 0; status == MW_OK && item->kind == ENTRY_MOULD && i < item->field_count;
         i++) {
        if (item->fields[i].head_unit == MW_NONE && !item->fields[i].quoted) {
            formula of = {.set = item, .field = i, .span = item->fields[i].value};
            status = look_at(model, &of);
            mw_ast_free(&of.ast);
        }
    }
    return status;
}

/* ---- the document of the trial ---- */

/* Puts the made text among the sources and its spans right. */
static mw_status place_text(risk_model *model)
{
    mw_str text = {mw_text_chars(&model->text), model->text.length};
    if (model->text.failed) {
        return MW_NO_MEMORY;
    }
    model->source = mw_sources_add(model->job->sources, mw_str_of("<risk>"), text);
    if (model->source == MW_NONE) {
        return MW_NO_MEMORY;
    }
    for (uint32_t i = 0; i < model->list.count; i++) {
        entry *item = own_entry(model->list.items[i]);
        mw_span *spans[] = {&item->formula, &item->span, &item->name_at};
        for (size_t k = 0; k < sizeof spans / sizeof *spans; k++) {
            bool own = spans[k]->source == MW_NONE && spans[k]->end > spans[k]->begin;
            spans[k]->source = own ? model->source : spans[k]->source;
        }
        for (uint32_t k = 0; k < item->field_count; k++) {
            if (item->fields[k].value.source == MW_NONE) {
                item->fields[k].value.source = model->source;
            }
        }
    }
    return MW_OK;
}

/* Each sample is one schedule in the turns of the present plan. */
static mw_status keep_turns(risk_model *model)
{
    mw_job *job = model->job;
    mw_plan_outcome outcome;
    if (job_keeps_order(job) || !mw_job_plan(job, &outcome)) {
        return MW_OK;
    }
    uint32_t begin = (uint32_t)model->text.length;
    mw_text_addc(&model->text, '"');
    mw_status status = plan_node_order_words(job->build->plan, &model->text);
    mw_text_addc(&model->text, '"');
    status = status == MW_OK ? add_line(model, mw_str_of("job.order"), begin) : status;
    if (status == MW_OK) {
        entry *made = own_entry(model->list.items[model->list.count - 1]);
        made->parts[0] = mw_str_of("job");
        made->parts[1] = mw_str_of("order");
        made->part_count = 2;
        model->keeps_turns = true;
    }
    return status;
}

mw_status risk_find(risk_model *model)
{
    mw_job *job = model->job;
    const document *from = &job->build->document;
    mw_status status = MW_OK;
    model->source = MW_NONE;
    for (uint32_t i = 0; status == MW_OK && i < from->count; i++) {
        status = look_at_entry(model, from->items[i]);
    }
    if (status == MW_OK && model->input_count == 0) {
        mw_diag *diag = mw_diags_error(model->diags, MW_CODE_NOT_UNCERTAIN, job_nowhere(),
                                       "nothing in this job is uncertain");
        mw_diag_try(model->diags, diag, "transport = 650 .. 900 .. 1400 EUR");
        return MW_FAILED;
    }
    status = status == MW_OK ? keep_turns(model) : status;
    if (status == MW_OK) {
        status = place_text(model);
    }
    if (status == MW_OK) {
        status = document_change(job, from, &(document_step){.items = &model->list},
                                 &model->document, NULL);
    }
    return status;
}

void risk_model_free(risk_model *model)
{
    for (uint32_t i = 0; i < model->target_count; i++) {
        mw_risk_drawer_free(model->targets[i].drawer);
    }
    mw_memory_give(model->targets);
    mw_memory_give(model->inputs);
    entry_list_free(&model->list);
    mw_text_free(&model->text);
    if (model->source != MW_NONE) {
        mw_sources_drop_last(model->job->sources, model->source);
    }
}
