/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Named values that belong to no mould: shop.margin, job.start, materials.epoxy_slow.price. */
#include "parts.h"

#include <math.h>

#include "mouldwright/memory.h"

uint32_t global_find(const build *from, mw_str name)
{
    return mw_names_find(from->global_names, name);
}

uint32_t global_add(build *into, const global *item)
{
    void *globals = into->globals;
    if (!mw_memory_grow32(&globals, &into->global_capacity, into->global_count + 1,
                          sizeof *into->globals)) {
        return MW_NONE;
    }
    into->globals = globals;
    uint32_t at = mw_names_add(into->global_names, item->name);
    if (at == into->global_count) {
        into->globals[at] = *item;
        into->globals[at].name = mw_names_text(into->global_names, at);
        into->globals[at].hidden = MW_NONE;
        into->globals[at].cell = MW_NONE;
        into->global_count++;
    }
    return at;
}

/* "shop." + a word made of `name` + ending. */
static mw_status add_named(build *into, const char *first, mw_str name, const char *ending,
                           global *item)
{
    mw_text full = {0};
    mw_text_adds(&full, first);
    mw_name_word(name, &full);
    mw_text_adds(&full, ending);
    item->name = (mw_str){mw_text_chars(&full), full.length};
    uint32_t at = full.failed ? MW_NONE : global_add(into, item);
    mw_text_free(&full);
    return at == MW_NONE ? MW_NO_MEMORY : MW_OK;
}

static mw_status add_trade(build *into, const mw_trade *trade)
{
    mw_job *job = into->job;
    mw_type money = mw_money_type(job->measure, into->shop->currency);
    mw_type rate = MW_NONE;
    if (money == MW_NONE ||
        mw_type_divide(job->measure, money, MW_TYPE_LABOUR, &rate) != MW_TYPE_FINE) {
        return MW_NO_MEMORY;
    }
    global count = {.type = MW_TYPE_PEOPLE,
                    .unit = MW_UNIT_ONE,
                    .formula = trade->at,
                    .settable = true,
                    .value_only = true,
                    .value = trade->count};
    mw_unit shown = MW_NONE;
    size_t used = 0;
    char unit[16];
    const char *code = mw_currency_code(job->measure, into->shop->currency);
    for (size_t i = 0; i < 3; i++) {
        unit[i] = code[i];
    }
    unit[3] = '/';
    unit[4] = 'h';
    unit[5] = '\0';
    if (mw_unit_read(job->measure, mw_str_of(unit), &used, &shown) != MW_OK) {
        shown = mw_unit_usual(job->measure, rate);
    }
    global cost = {.type = rate,
                   .unit = shown,
                   .formula = trade->rate_at,
                   .settable = true,
                   .value_only = trade->rate_at.source == MW_NONE,
                   .value = trade->rate};
    mw_status status = add_named(into, "shop.", trade->name, "_count", &count);
    return status == MW_OK ? add_named(into, "shop.", trade->name, "_rate", &cost) : status;
}

/* What a machine takes: 0 m where the shop does not say. */
static mw_status add_sizes(build *into, const mw_machine_row *machine)
{
    static const char *const endings[] = {"_length", "_width", "_height"};
    mw_status status = MW_OK;
    for (size_t i = 0; i < 3 && status == MW_OK; i++) {
        global size = {.type = MW_TYPE_LENGTH,
                       .unit = mw_unit_usual(into->job->measure, MW_TYPE_LENGTH),
                       .formula = machine->at,
                       .settable = true,
                       .value_only = true,
                       .value = machine->size_m[i]};
        status = add_named(into, "shop.", machine->name, endings[i], &size);
    }
    return status;
}

/* A value of that unit, by a formula of the shop's file; nothing where the file has none. */
static mw_status add_formula(build *into, mw_str name, const char *ending, mw_span formula,
                             const char *unit)
{
    mw_unit shown = MW_NONE;
    size_t used = 0;
    if (formula.source == MW_NONE || formula.begin == formula.end) {
        return MW_OK;
    }
    if (mw_unit_read(into->job->measure, mw_str_of(unit), &used, &shown) != MW_OK) {
        return MW_NO_MEMORY;
    }
    global item = {.type = mw_unit_type(into->job->measure, shown),
                   .unit = shown,
                   .formula = formula,
                   .settable = true};
    return add_named(into, "shop.", name, ending, &item);
}

static mw_status add_power(build *into, const mw_machine_row *machine)
{
    return add_formula(into, machine->name, "_power", machine->power_at, "kW");
}

static mw_status add_energy(build *into)
{
    char unit[16] = "EUR/kWh";
    const char *code = mw_currency_code(into->job->measure, into->shop->currency);
    for (size_t i = 0; i < 3; i++) {
        unit[i] = code[i];
    }
    return add_formula(into, mw_str_of("energy_price"), "", into->shop->energy_at, unit);
}

static mw_status add_machine(build *into, const mw_machine_row *machine)
{
    mw_job *job = into->job;
    global count = {.type = MW_TYPE_NUMBER,
                    .unit = MW_UNIT_ONE,
                    .formula = machine->at,
                    .settable = true,
                    .value_only = true,
                    .value = machine->count};
    mw_status status = add_named(into, "shop.", machine->name, "_count", &count);
    status = status == MW_OK ? add_sizes(into, machine) : status;
    status = status == MW_OK ? add_power(into, machine) : status;
    if (status != MW_OK || machine->rate_at.source == MW_NONE) {
        return status;
    }
    mw_type money = mw_money_type(job->measure, into->shop->currency);
    mw_type rate = MW_NONE;
    if (money == MW_NONE ||
        mw_type_divide(job->measure, money, MW_TYPE_TIME, &rate) != MW_TYPE_FINE) {
        return MW_NO_MEMORY;
    }
    global cost = {.type = rate, .unit = MW_NONE, .formula = machine->rate_at, .settable = true};
    return add_named(into, "shop.", machine->name, "_rate", &cost);
}

/* The warmest day that the seasons tell: where a pot lasts shortest. */
static double warmest_day(const mw_shop *shop)
{
    double warmest_k = 0.0;
    for (uint32_t i = 0; i < shop->season_count; i++) {
        warmest_k = fmax(warmest_k, shop->seasons[i].day_k);
    }
    return warmest_k;
}

/* Working time of the longest day of the usual shift. */
static double working_day(const mw_shop *shop)
{
    double longest_minutes = 0.0;
    for (size_t day = 0; shop->shift_count > 0 && day < 7; day++) {
        const mw_shift *shift = &shop->shifts[0];
        double minutes = 0.0;
        for (uint32_t i = 0; i < shift->stretch_count[day]; i++) {
            const mw_stretch *stretch = &shift->day[day][i];
            minutes += (stretch->to_minute - stretch->from_minute) * stretch->rate;
        }
        longest_minutes = fmax(longest_minutes, minutes);
    }
    return longest_minutes * 60.0;
}

/* What the hall and the shift come to. */
static mw_status add_hall(build *into)
{
    global warmest = {.type = MW_TYPE_DEGREES,
                      .unit = mw_unit_usual(into->job->measure, MW_TYPE_DEGREES),
                      .formula = job_nowhere(),
                      .settable = true,
                      .value_only = true,
                      .value = warmest_day(into->shop)};
    global longest = {.type = MW_TYPE_TIME,
                      .unit = mw_unit_usual(into->job->measure, MW_TYPE_TIME),
                      .formula = job_nowhere(),
                      .settable = true,
                      .value_only = true,
                      .value = working_day(into->shop)};
    mw_status status = add_named(into, "shop.", mw_str_of("warmest_day"), "", &warmest);
    return status == MW_OK ? add_named(into, "shop.", mw_str_of("working_day"), "", &longest)
                           : status;
}

/* Lines that the rules of the program need, with what stands in for one that the shop does not give. */
static const struct {
    const char *name;
    mw_type type;
    double value;
} shop_needs[] = {{"productive_share", MW_TYPE_NUMBER, 1.0},
                  {"overhead", MW_TYPE_NUMBER, 0.0},
                  {"margin", MW_TYPE_NUMBER, 0.0},
                  {"tax", MW_TYPE_NUMBER, 0.0},
                  {"overhead_material", MW_TYPE_NUMBER, 0.0},
                  {"overhead_machine", MW_TYPE_NUMBER, 0.0},
                  {"overhead_outside", MW_TYPE_NUMBER, 0.0},
                  {"contingency", MW_TYPE_NUMBER, 0.0},
                  {"markup", MW_TYPE_NUMBER, 0.0},
                  {"discount", MW_TYPE_NUMBER, 0.0},
                  {"left_over_charged", MW_TYPE_NUMBER, 0.0},
                  {"offer_step", MW_TYPE_NUMBER, 0.0},
                  {"learning", MW_TYPE_NUMBER, 1.0},
                  {"pulls", MW_TYPE_NUMBER, 1.0},
                  {"offer_valid", MW_TYPE_TIME, 30.0 * MW_DAY_S},
                  {"next_job", MW_TYPE_TIME, 30.0 * MW_DAY_S},
                  {"cure_reference", MW_TYPE_DEGREES, 293.15},
                  {"cure_doubling", MW_TYPE_TEMPERATURE, 10.0},
                  {"day_warmer", MW_TYPE_TEMPERATURE, 0.0},
                  {"night_warmer", MW_TYPE_TEMPERATURE, 0.0}};

static mw_status add_needs(build *into)
{
    mw_status status = MW_OK;
    mw_unit percent = MW_UNIT_ONE;
    size_t used = 0;
    if (mw_unit_read(into->job->measure, mw_str_of("%"), &used, &percent) != MW_OK) {
        percent = MW_UNIT_ONE;
    }
    for (size_t i = 0; status == MW_OK && i < sizeof shop_needs / sizeof *shop_needs; i++) {
        bool plain = mw_str_is(mw_str_of(shop_needs[i].name), "offer_step") ||
                     mw_str_is(mw_str_of(shop_needs[i].name), "pulls");
        bool share = shop_needs[i].type == MW_TYPE_NUMBER && !plain;
        global item = {.type = shop_needs[i].type,
                       .unit =
                           share ? percent : mw_unit_usual(into->job->measure, shop_needs[i].type),
                       .formula = job_nowhere(),
                       .settable = true,
                       .value_only = true,
                       .value = shop_needs[i].value};
        status = add_named(into, "shop.", mw_str_of(shop_needs[i].name), "", &item);
    }
    return status;
}

static mw_status add_start(build *into, mw_diags *diags)
{
    global item = {.type = MW_TYPE_DATE,
                   .unit = MW_UNIT_ONE,
                   .formula = job_nowhere(),
                   .value_only = true,
                   .value = into->job->today_s};
    for (uint32_t i = 0; i < into->document.count; i++) {
        if (into->document.items[i]->kind == ENTRY_START) {
            item.formula = into->document.items[i]->formula;
            item.value_only = false;
        }
    }
    (void)diags;
    global status_date = {.type = MW_TYPE_DATE,
                          .unit = MW_UNIT_ONE,
                          .formula = job_nowhere(),
                          .settable = true,
                          .value_only = true};
    mw_status status = add_named(into, "job.", mw_str_of("start"), "", &item);
    return status == MW_OK ? add_named(into, "job.", mw_str_of("status"), "", &status_date)
                           : status;
}

/* Texts of the job: none until they are set. */
static mw_status add_text(build *into, const char *name)
{
    double none = mw_values_text(mw_sheet_values(into->sheet), (mw_str){"", 0});
    global item = {.type = MW_TYPE_TEXT,
                   .unit = MW_UNIT_ONE,
                   .formula = job_nowhere(),
                   .settable = true,
                   .value_only = true,
                   .value = none};
    return isnan(none) ? MW_NO_MEMORY : add_named(into, "job.", mw_str_of(name), "", &item);
}

mw_status globals_shop(build *into, mw_diags *diags)
{
    mw_status status = add_start(into, diags);
    status = status == MW_OK ? add_text(into, "order") : status;
    status = status == MW_OK ? add_text(into, "ties") : status;
    const mw_shop *shop = into->shop;
    for (uint32_t i = 0; shop && status == MW_OK && i < shop->line_count; i++) {
        const mw_shop_line *line = &shop->lines[i];
        global item = {.type = line->type,
                       .unit = line->unit,
                       .formula = line->formula,
                       .source = line->source,
                       .settable = true};
        status = add_named(into, "shop.", line->name, "", &item);
    }
    for (uint32_t i = 0; shop && status == MW_OK && i < shop->trade_count; i++) {
        status = add_trade(into, &shop->trades[i]);
    }
    for (uint32_t i = 0; shop && status == MW_OK && i < shop->machine_count; i++) {
        status = add_machine(into, &shop->machines[i]);
    }
    status = shop && status == MW_OK ? add_energy(into) : status;
    status = shop && status == MW_OK ? add_hall(into) : status;
    return shop && status == MW_OK ? add_needs(into) : status;
}

/* ---- materials ---- */

static void figure_name(const mw_material *material, mw_str figure, mw_text *out)
{
    mw_text_adds(out, "materials.");
    mw_name_word(material->name, out);
    mw_text_addc(out, '.');
    mw_text_add_str(out, figure);
}

uint32_t globals_figure(build *from, const mw_material *material, mw_str figure)
{
    mw_text name = {0};
    figure_name(material, figure, &name);
    uint32_t at =
        name.failed ? MW_NONE : global_find(from, (mw_str){mw_text_chars(&name), name.length});
    from->lost = from->lost || name.failed;
    mw_text_free(&name);
    return at;
}

static mw_status add_figure(build *into, const mw_material *material, mw_str figure, global *item)
{
    mw_text name = {0};
    figure_name(material, figure, &name);
    item->name = (mw_str){mw_text_chars(&name), name.length};
    item->settable = true;
    uint32_t at = name.failed ? MW_NONE : global_add(into, item);
    mw_text_free(&name);
    return at == MW_NONE ? MW_NO_MEMORY : MW_OK;
}

static mw_status add_price(build *into, const mw_material *material)
{
    mw_measure *measure = into->job->measure;
    const mw_pack *pack = &material->packs[0];
    mw_type type = MW_NONE;
    if (mw_type_divide(measure, pack->price_type, material->stock_type, &type) != MW_TYPE_FINE) {
        return MW_NO_MEMORY;
    }
    mw_unit money = mw_unit_usual(measure, pack->price_type);
    global item = {.type = type,
                   .unit = mw_unit_divide(measure, money, material->stock_unit, type),
                   .formula = pack->at,
                   .source = mw_str_of("price of the usual pack over its size"),
                   .value_only = true,
                   .value = pack->price / pack->size};
    return add_figure(into, material, mw_str_of("price"), &item);
}

/* What is on the shelf, and what is the least that is sold in one order. */
static mw_status add_stock(build *into, const mw_material *material)
{
    global on_hand = {.type = material->stock_type,
                      .unit = material->stock_unit,
                      .formula = material->on_hand_at.source != MW_NONE ? material->on_hand_at
                                                                        : material->name_at,
                      .source = mw_str_of("what is on the shelf"),
                      .value_only = true,
                      .value = material->on_hand};
    global least = on_hand;
    least.formula =
        material->least_order_at.source != MW_NONE ? material->least_order_at : material->name_at;
    least.source = mw_str_of("the least that is sold in one order");
    least.value = material->least_order;
    mw_status status = add_figure(into, material, mw_str_of("on_hand"), &on_hand);
    return status == MW_OK ? add_figure(into, material, mw_str_of("least_order"), &least) : status;
}

static bool has_figure(const mw_material *material, const char *name)
{
    bool found = false;
    for (uint32_t i = 0; i < material->figure_count; i++) {
        found = found || mw_str_is(material->figures[i].name, name);
    }
    return found;
}

/* A figure that the program makes of the cure points of a material. A figure of its own goes before it. */
static mw_status add_of_points(build *into, const mw_material *material, const char *name,
                               double value, const char *source)
{
    const char *const unit_word = mw_str_is(mw_str_of(name), "cure_energy") ? "kJ/mol" : "degC";
    mw_unit unit = MW_UNIT_ONE;
    size_t used = 0;
    if (has_figure(material, name)) {
        return MW_OK;
    }
    if (mw_unit_read(into->job->measure, mw_str_of(unit_word), &used, &unit) != MW_OK) {
        return MW_NO_MEMORY;
    }
    const bool points = material->cure_point_count > 0;
    global item = {.type = mw_unit_type(into->job->measure, unit),
                   .unit = unit,
                   .formula = points ? material->cure_points_at : material->name_at,
                   .source =
                       mw_str_of(points ? source : "no cure points: the shop's doubling rule"),
                   .value_only = true,
                   .value = value};
    return add_figure(into, material, mw_str_of(name), &item);
}

/* The energy with which a material cures, and from where to where that is known: through its points, or 0, which
 * stands for the shop's rule. */
static mw_status add_cure(build *into, const mw_material *material)
{
    double at_k[MW_CURE_POINTS_READ];
    double time_s[MW_CURE_POINTS_READ];
    const mw_cure_points points = {at_k, time_s, material->cure_point_count, 0};
    double energy_jmol = 0;
    double coldest_k = (double)INFINITY;
    double hottest_k = 0;
    for (uint32_t i = 0; i < material->cure_point_count; i++) {
        at_k[i] = material->cure_points[i].at_k;
        time_s[i] = material->cure_points[i].time_s;
        coldest_k = fmin(coldest_k, at_k[i] - MW_CURE_BEYOND_POINTS_K);
        hottest_k = fmax(hottest_k, at_k[i] + MW_CURE_BEYOND_POINTS_K);
    }
    if (points.count > 0 && mw_trade_cure_energy(&points, &energy_jmol) != MW_TRADE_OK) {
        energy_jmol = mw_error_value(MW_CODE_OUT_OF_RANGE);
    }
    mw_status status = add_of_points(into, material, "cure_energy", energy_jmol,
                                     "Arrhenius' law, least squares through its cure points");
    if (status == MW_OK) {
        status =
            add_of_points(into, material, "cure_coldest", points.count > 0 ? coldest_k : 0,
                          "20 K below the coldest of its cure points: common practice, no source");
    }
    if (status == MW_OK) {
        status =
            add_of_points(into, material, "cure_hottest", hottest_k,
                          "20 K above the hottest of its cure points: common practice, no source");
    }
    return status;
}

/* The declared kind of a figure of that name, or MW_NONE. */
static mw_type known_kind(mw_measure *measure, mw_str name)
{
    for (const mw_figure_kind *kind = mw_figure_kinds(); kind->name; kind++) {
        mw_unit unit = MW_UNIT_ONE;
        size_t used = 0;
        if (mw_str_is(name, kind->name) &&
            mw_unit_read(measure, mw_str_of(kind->unit), &used, &unit) == MW_OK) {
            mw_type type = mw_unit_type(measure, unit);
            mw_type clock = MW_NONE;
            bool hours = mw_type_join(measure, type, MW_TYPE_TIME, &clock) == MW_TYPE_FINE;
            return hours ? (mw_type)MW_TYPE_TIME : type;
        }
    }
    return MW_NONE;
}

mw_status globals_material(build *into, const mw_material *material, mw_diags *diags)
{
    if (globals_figure(into, material, mw_str_of("price")) != MW_NONE) {
        return MW_OK;
    }
    mw_status status = add_price(into, material);
    status = status == MW_OK ? add_stock(into, material) : status;
    status = status == MW_OK ? add_cure(into, material) : status;
    for (uint32_t i = 0; status == MW_OK && i < material->figure_count; i++) {
        const mw_figure *figure = &material->figures[i];
        double value = (double)NAN;
        mw_answer answer = {.values = &value, .room = 1};
        status = mw_sheet_try(into->sheet, figure->formula, NULL, &answer, diags);
        mw_type kind = known_kind(into->job->measure, figure->name);
        global item = {.type = kind != MW_NONE ? kind : answer.meaning.type,
                       .unit = answer.meaning.unit,
                       .formula = figure->formula,
                       .source = figure->source.length ? figure->source : material->source,
                       .value_only = true,
                       .value = value};
        if (status == MW_OK) {
            status = add_figure(into, material, figure->name, &item);
        }
    }
    return status;
}

/* ---- cells ---- */

void global_define(build *into, mw_edit *edit, uint32_t at)
{
    global *of = &into->globals[at];
    bool hidden = of->set && of->set->uses_usual;
    uint32_t base = of->cell;
    if (of->set && of->set->broken) {
        mw_edit_broken(edit, of->cell, of->type);
        return;
    }
    if (hidden) {
        base = build_hide(into, edit, &of->hidden) ? of->hidden : MW_NONE;
    }
    if (of->set) {
        mw_scope *scope = mw_arena_get(into->arena, sizeof *scope);
        mw_reference *usual = mw_arena_get(into->arena, sizeof *usual);
        if (!scope || !usual || (hidden && base == MW_NONE)) {
            into->lost = true;
            return;
        }
        *scope = into->scope;
        *usual = (mw_reference){.slot = base, .count = 1, .type = of->type, .unit = of->unit};
        scope->usual = hidden ? usual : NULL;
        mw_definition definition = {of->set->formula, scope, of->type, of->unit};
        mw_edit_formula(edit, of->cell, &definition);
        if (!build_scope(into, of->cell, scope)) {
            into->lost = true;
        }
        if (!hidden) {
            return;
        }
    }
    if (of->value_only) {
        mw_constant constant = {of->value, of->type, of->unit, of->formula};
        mw_edit_value(edit, base, &constant);
    } else {
        bool of_shop = of->formula.source == (into->shop ? into->shop->file : MW_NONE);
        mw_definition definition = {of->formula, of_shop ? &into->shop_scope : &into->scope,
                                    of->type, of->unit};
        mw_edit_formula(edit, base, &definition);
        if (!build_scope(into, base, definition.scope)) {
            into->lost = true;
        }
    }
}

mw_status globals_define(build *into, mw_edit *edit, mw_diags *diags)
{
    (void)diags;
    for (uint32_t i = 0; i < into->global_count; i++) {
        if (!into->globals[i].planned) {
            into->globals[i].cell = mw_edit_cell(edit, into->globals[i].name);
        }
        if (into->globals[i].cell == MW_NONE && !into->globals[i].planned) {
            return MW_NO_MEMORY;
        }
    }
    for (uint32_t i = 0; i < into->global_count; i++) {
        if (!into->globals[i].sum_of && !into->globals[i].planned) {
            global_define(into, edit, i);
        }
    }
    return MW_OK;
}
