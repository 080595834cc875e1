/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the whole job comes to: sums over the moulds, tax, packs of each material and what is left of them. */
#include "parts.h"

#include "mouldwright/memory.h"
#include "mouldwright/number.h"

uint32_t stock_of(build *into, const mw_material *material)
{
    for (uint32_t i = 0; i < into->stock_count; i++) {
        if (into->stocks[i].material == material) {
            return i;
        }
    }
    void *stocks = into->stocks;
    if (!mw_memory_grow32(&stocks, &into->stock_capacity, into->stock_count + 1,
                          sizeof *into->stocks)) {
        return MW_NONE;
    }
    into->stocks = stocks;
    into->stocks[into->stock_count] = (stock){material};
    return into->stock_count++;
}

/* Sums over the moulds: each is a quantity of every mould. */
static const struct {
    const char *quantity;
    enum { SUM_MONEY, SUM_LABOUR, SUM_MASS, SUM_AREA, SUM_NUMBER } of;
} sums[] = {{"hours", SUM_LABOUR},
            {"material_cost", SUM_MONEY},
            {"labour_cost", SUM_MONEY},
            {"machine_cost", SUM_MONEY},
            {"outside_posted", SUM_MONEY},
            {"overhead_cost", SUM_MONEY},
            {"cost", SUM_MONEY},
            {"margin_cost", SUM_MONEY},
            {"energy_cost", SUM_MONEY},
            {"contingency_cost", SUM_MONEY},
            {"markup_cost", SUM_MONEY},
            {"price", SUM_MONEY},
            {"mass", SUM_MASS},
            {"resin", SUM_MASS},
            {"cloth", SUM_AREA},
            {"pots", SUM_NUMBER},
            {"sessions", SUM_NUMBER}};

static mw_type sum_type(build *into, size_t i)
{
    switch (sums[i].of) {
    case SUM_LABOUR:
        return MW_TYPE_LABOUR;
    case SUM_MASS:
        return MW_TYPE_MASS;
    case SUM_AREA:
        return MW_TYPE_AREA;
    case SUM_NUMBER:
        return MW_TYPE_NUMBER;
    case SUM_MONEY:
        break;
    }
    return mw_money_type(into->job->measure, into->shop->currency);
}

static mw_status add(build *into, const char *name, const global *item)
{
    global copy = *item;
    copy.name = mw_str_of(name);
    return global_add(into, &copy) == MW_NONE ? MW_NO_MEMORY : MW_OK;
}

static mw_status add_sums(build *into)
{
    for (size_t i = 0; i < sizeof sums / sizeof *sums; i++) {
        mw_type type = sum_type(into, i);
        bool number = type == MW_TYPE_NUMBER;
        global item = {.type = type,
                       .unit = number ? MW_UNIT_ONE : mw_unit_usual(into->job->measure, type),
                       .formula = job_nowhere(),
                       .sum_of = sums[i].quantity,
                       .stock = MW_NONE};
        char *name = mw_arena_print(into->arena, "job.%s", sums[i].quantity);
        mw_status status = name ? add(into, name, &item) : MW_NO_MEMORY;
        if (status != MW_OK) {
            return status;
        }
    }
    return MW_OK;
}

/* Rules as text, gathered so that all get one source. */
typedef struct total_writer {
    build *into;
    mw_text text;
    uint32_t first; /* global of the first rule */
} total_writer;

static mw_status write_total(total_writer *writer, const char *name, mw_type type, mw_unit unit,
                             const char *formula)
{
    mw_text_addf(&writer->text, "%s = ", name);
    global item = {.type = type,
                   .unit = unit,
                   .formula = {MW_NONE - 1, (uint32_t)writer->text.length, 0},
                   .stock = MW_NONE};
    mw_text_adds(&writer->text, formula);
    item.formula.end = (uint32_t)writer->text.length;
    mw_text_addc(&writer->text, '\n');
    return add(writer->into, name, &item);
}

static mw_status write_stock(total_writer *writer, uint32_t at, mw_text *left_over)
{
    build *into = writer->into;
    const mw_material *material = into->stocks[at].material;
    mw_measure *measure = into->job->measure;
    mw_type money = mw_money_type(measure, into->shop->currency);
    mw_text size = {0};
    mw_text_adds(&size, "(");
    mw_number_words(mw_unit_from_si(measure, material->stock_unit, material->packs[0].size), &size);
    mw_text_addc(&size, ' ');
    mw_unit_words(measure, material->stock_unit, &size);
    mw_text_addc(&size, ')');
    mw_text word = {0};
    mw_name_word(material->name, &word);
    const char *w = mw_text_chars(&word);
    char *needed = mw_arena_print(into->arena, "materials.%s.needed", w);
    char *packs = mw_arena_print(into->arena, "materials.%s.packs", w);
    char *left = mw_arena_print(into->arena, "materials.%s.left_over", w);
    char *cost = mw_arena_print(into->arena, "materials.%s.left_over_cost", w);
    char *packs_rule = mw_arena_print(into->arena, "round_up(materials.%s.needed / %s, 1)", w,
                                      mw_text_chars(&size));
    char *left_rule = mw_arena_print(into->arena, "materials.%s.packs * %s - materials.%s.needed",
                                     w, mw_text_chars(&size), w);
    char *cost_rule = mw_arena_print(
        into->arena, "round_money(materials.%s.left_over * materials.%s.price)", w, w);
    mw_text_addf(left_over, "%smaterials.%s.left_over_cost", left_over->length ? " + " : "", w);
    bool lost = size.failed || word.failed || !needed || !packs || !left || !cost || !packs_rule ||
                !left_rule || !cost_rule;
    mw_text_free(&size);
    mw_text_free(&word);
    if (lost) {
        return MW_NO_MEMORY;
    }
    global item = {.type = material->stock_type,
                   .unit = material->stock_unit,
                   .formula = job_nowhere(),
                   .sum_of = "",
                   .stock = at};
    mw_status status = add(into, needed, &item);
    if (status == MW_OK) {
        status = write_total(writer, packs, MW_TYPE_NUMBER, MW_UNIT_ONE, packs_rule);
    }
    if (status == MW_OK) {
        status = write_total(writer, left, material->stock_type, material->stock_unit, left_rule);
    }
    if (status == MW_OK) {
        status = write_total(writer, cost, money, mw_unit_usual(measure, money), cost_rule);
    }
    return status;
}

/* From the prices of the moulds to what is asked for. */
static mw_status write_offer(total_writer *writer, mw_type money, mw_unit unit)
{
    const char *code = mw_currency_code(writer->into->job->measure, writer->into->shop->currency);
    char *step = mw_arena_print(writer->into->arena,
                                "if shop.offer_step > 0 then round_to(job.before_rounding, "
                                "shop.offer_step * 1 %s) - job.before_rounding else 0 %s",
                                code, code);
    const struct {
        const char *name;
        const char *formula;
    } rules[] = {
        {"job.left_over_charge", "round_money(job.left_over_cost * shop.left_over_charged)"},
        {"job.discount", "round_money((job.price + job.left_over_charge) * shop.discount)"},
        {"job.before_rounding", "job.price + job.left_over_charge - job.discount"},
        {"job.rounding", step},
        {"job.offer", "job.before_rounding + job.rounding"},
        {"job.tax", "round_money(job.offer * shop.tax)"},
        {"job.total", "job.offer + job.tax"}};
    mw_status status = step ? MW_OK : MW_NO_MEMORY;
    for (size_t i = 0; status == MW_OK && i < sizeof rules / sizeof *rules; i++) {
        status = write_total(writer, rules[i].name, money, unit, rules[i].formula);
    }
    return status;
}

/* How long the job takes, weekends and holidays included. */
static mw_status write_weeks(total_writer *writer)
{
    size_t used = 0;
    mw_unit week = MW_UNIT_ONE;
    mw_status status = mw_unit_read(writer->into->job->measure, mw_str_of("week"), &used, &week);
    return status == MW_OK
               ? write_total(writer, "job.weeks", MW_TYPE_TIME, week, "job.ready - job.start")
               : status;
}

static mw_status write_job(total_writer *writer, const mw_text *left_over)
{
    build *into = writer->into;
    mw_measure *measure = into->job->measure;
    mw_type money = mw_money_type(measure, into->shop->currency);
    mw_unit unit = mw_unit_usual(measure, money);
    char *zero =
        mw_arena_print(into->arena, "0 %s", mw_currency_code(measure, into->shop->currency));
    if (!zero) {
        return MW_NO_MEMORY;
    }
    mw_status status = write_total(writer, "job.left_over_cost", money, unit,
                                   left_over->length ? mw_text_chars(left_over) : zero);
    if (status == MW_OK) {
        status = write_offer(writer, money, unit);
    }
    return status == MW_OK && into->mould_count > 0 ? write_weeks(writer) : status;
}

/* Gives the rules their source, once the whole text is known. */
static mw_status place_rules(total_writer *writer)
{
    build *into = writer->into;
    mw_str text = {mw_text_chars(&writer->text), writer->text.length};
    uint32_t source = writer->text.failed ? MW_NONE : rules_source(into->job, NULL, text);
    for (uint32_t i = writer->first; i < into->global_count; i++) {
        if (into->globals[i].formula.source == MW_NONE - 1) {
            into->globals[i].formula.source = source;
        }
    }
    return source == MW_NONE ? MW_NO_MEMORY : MW_OK;
}

mw_status totals_add(build *into)
{
    total_writer writer = {.into = into, .first = into->global_count};
    mw_text left_over = {0};
    mw_status status = add_sums(into);
    for (uint32_t i = 0; status == MW_OK && i < into->stock_count; i++) {
        status = write_stock(&writer, i, &left_over);
    }
    if (status == MW_OK) {
        status = left_over.failed ? MW_NO_MEMORY : write_job(&writer, &left_over);
    }
    if (status == MW_OK) {
        status = place_rules(&writer);
    }
    mw_text_free(&writer.text);
    mw_text_free(&left_over);
    return status;
}

/* ---- cells ---- */

typedef struct cell_list {
    uint32_t *items;
    uint32_t count, capacity;
} cell_list;

static bool push(cell_list *list, uint32_t cell)
{
    void *items = list->items;
    if (!mw_memory_grow32(&items, &list->capacity, list->count + 1, sizeof *list->items)) {
        return false;
    }
    list->items = items;
    list->items[list->count++] = cell;
    return true;
}

/* The cells of one quantity of all moulds; a recipe may have given its name to something of another kind. */
static bool gather_quantity(const build *from, const char *quantity, mw_type type, cell_list *list)
{
    list->count = 0;
    for (uint32_t m = 0; m < from->mould_count; m++) {
        uint32_t at = kit_slot(from->moulds[m].kit, MW_NONE, mw_str_of(quantity));
        bool fits = at != MW_NONE && from->moulds[m].kit->slots[at].type == type;
        if (fits && !push(list, from->moulds[m].cells[at])) {
            return false;
        }
    }
    return true;
}

/* The cells of all that is used of a stock. */
static bool gather_stock(const build *from, const mw_material *material, cell_list *list)
{
    list->count = 0;
    for (uint32_t m = 0; m < from->mould_count; m++) {
        const mould *of = &from->moulds[m];
        for (uint32_t i = 0; i < of->kit->slot_count; i++) {
            const slot *used = &of->kit->slots[i];
            if (used->kind == SLOT_USE_GROSS &&
                of->materials[of->kit->first_use[used->step] + used->use] == material &&
                !push(list, of->cells[i])) {
                return false;
            }
        }
    }
    return true;
}

mw_status totals_define(build *into, mw_edit *edit)
{
    cell_list list = {0};
    mw_status status = MW_OK;
    for (uint32_t i = 0; status == MW_OK && i < into->global_count; i++) {
        const global *of = &into->globals[i];
        if (!of->sum_of) {
            continue;
        }
        bool done = of->stock == MW_NONE
                        ? gather_quantity(into, of->sum_of, of->type, &list)
                        : gather_stock(into, into->stocks[of->stock].material, &list);
        if (done) {
            mw_edit_sum(edit, of->cell, list.items, list.count, of->type);
            mw_edit_unit(edit, of->cell, of->unit);
        } else {
            status = MW_NO_MEMORY;
        }
    }
    mw_memory_give(list.items);
    return status;
}
