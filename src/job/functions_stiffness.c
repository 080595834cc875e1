/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Functions of lay-up stiffness: from the lists of a formula to laminate theory and back.
 *
 * The lists of a call are equally long and arrive one after the other: of laminate_...() angles,
 * thicknesses, e1, e2, g12, nu12 by layer, then growth along and across where it matters; of
 * stack_...() the same by blocks of layers, with how many layers in front and the turn from layer to
 * layer behind the angle. */
#include "functions_stiffness.h"

#include "functions_answer.h"
#include "mouldwright/trade_stiffness.h"

/* As many as a call can pass in six lists. */
enum { PLIES_MOST = MW_TEMPORARIES / 6 };

/* What a call's lists hold. */
typedef enum list_form {
    LAYERS, /* laminate_...() */
    BLOCKS  /* stack_...() */
} list_form;

typedef struct stack_call {
    const double *lists; /* of the first list's first value */
    uint32_t values;     /* of all lists together */
    list_form form;
    bool grows; /* two lists of growth at the end */
} stack_call;

static void read_ply(const stack_call *call, size_t length, uint32_t at, mw_ply *ply)
{
    const double *list = call->lists + at;
    const bool blocks = call->form == BLOCKS;
    *ply = (mw_ply){.count = 1.0};
    if (blocks) {
        ply->count = *list;
        list += length;
    }
    ply->angle_rad = *list;
    list += length;
    if (blocks) {
        ply->turn_rad = *list;
        list += length;
    }
    ply->thickness_m = list[0];
    ply->elastic.e1_pa = list[length];
    ply->elastic.e2_pa = list[2 * length];
    ply->elastic.g12_pa = list[3 * length];
    ply->elastic.nu12 = list[4 * length];
    if (call->grows) {
        ply->elastic.growth1_per_k = list[5 * length];
        ply->elastic.growth2_per_k = list[6 * length];
    }
}

static mw_trade_status build(const stack_call *call, mw_laminate *laminate)
{
    const uint32_t lists = (call->form == BLOCKS ? 8u : 6u) + (call->grows ? 2u : 0u);
    const uint32_t length = call->values / lists;
    mw_ply plies[PLIES_MOST];
    if (length > PLIES_MOST) {
        return MW_TRADE_OUT_OF_RANGE;
    }
    for (uint32_t i = 0; i < length; i++) {
        read_ply(call, length, i, &plies[i]);
    }
    return mw_trade_laminate(plies, length, laminate);
}

/* 11, 12, 16, 22, 26 or 66; MW_ENTRY_COUNT: anything else. */
static mw_entry entry_of(double code)
{
    static const double codes[MW_ENTRY_COUNT] = {11, 12, 16, 22, 26, 66};
    for (int i = 0; i < MW_ENTRY_COUNT; i++) {
        if (codes[i] == code) {
            return (mw_entry)i;
        }
    }
    return MW_ENTRY_COUNT;
}

/* 1 for x, 2 for y, 6 for xy: 0, 1 or 2; 3: anything else. */
static uint32_t axis_of(double code)
{
    return code == 1.0 ? 0 : code == 2.0 ? 1 : code == 6.0 ? 2 : 3;
}

/* --- entries of matrices ------------------------------------------------------------------------ */

typedef enum matrix { MATRIX_A, MATRIX_B, MATRIX_D, MATRIX_BENDING } matrix;

static double answer_entry(const double *arguments, uint32_t count, list_form form, matrix which)
{
    const stack_call call = {arguments + 1, count - 1, form, false};
    const mw_entry entry = entry_of(arguments[0]);
    mw_laminate laminate;
    mw_flexibility flexibility;
    mw_trade_status status = entry == MW_ENTRY_COUNT ? MW_TRADE_NO_SENSE : build(&call, &laminate);
    if (status == MW_TRADE_OK && which == MATRIX_BENDING) {
        status = mw_trade_laminate_invert(&laminate, &flexibility);
    }
    if (status != MW_TRADE_OK) {
        return trade_answer(status, 0.0);
    }
    switch (which) {
    case MATRIX_A:
        return laminate.a_n_per_m[entry];
    case MATRIX_B:
        return laminate.b_n[entry];
    case MATRIX_D:
        return laminate.d_n_m[entry];
    case MATRIX_BENDING:
        return flexibility.bending_n_m[entry];
    }
    return mw_error_value(MW_CODE_INTERNAL);
}

double laminate_a(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_entry(arguments, count, LAYERS, MATRIX_A);
}

double laminate_b(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_entry(arguments, count, LAYERS, MATRIX_B);
}

double laminate_d(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_entry(arguments, count, LAYERS, MATRIX_D);
}

double laminate_bending(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_entry(arguments, count, LAYERS, MATRIX_BENDING);
}

double stack_a(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_entry(arguments, count, BLOCKS, MATRIX_A);
}

double stack_bending(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_entry(arguments, count, BLOCKS, MATRIX_BENDING);
}

/* --- moduli ------------------------------------------------------------------------------------- */

/* Poisson's ratio has place 3. */
static double answer_modulus(const stack_call *call, bool bent, uint32_t place)
{
    mw_laminate laminate;
    mw_flexibility flexibility;
    mw_moduli moduli[2];
    mw_trade_status status = build(call, &laminate);
    if (status == MW_TRADE_OK) {
        status = mw_trade_laminate_invert(&laminate, &flexibility);
    }
    if (status != MW_TRADE_OK) {
        return trade_answer(status, 0.0);
    }
    mw_trade_laminate_moduli(&flexibility, laminate.thickness_m, &moduli[0], &moduli[1]);
    const mw_moduli *of = &moduli[bent ? 1 : 0];
    const double values[4] = {of->ex_pa, of->ey_pa, of->gxy_pa, of->nuxy};
    return values[place];
}

static double answer_axis_modulus(const double *arguments, uint32_t count, list_form form,
                                  bool bent)
{
    const stack_call call = {arguments + 1, count - 1, form, false};
    const uint32_t axis = axis_of(arguments[0]);
    return axis == 3 ? trade_answer(MW_TRADE_NO_SENSE, 0.0) : answer_modulus(&call, bent, axis);
}

double laminate_modulus(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_axis_modulus(arguments, count, LAYERS, false);
}

double laminate_bending_modulus(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_axis_modulus(arguments, count, LAYERS, true);
}

double stack_modulus(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_axis_modulus(arguments, count, BLOCKS, false);
}

double stack_bending_modulus(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_axis_modulus(arguments, count, BLOCKS, true);
}

double laminate_poisson(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_modulus(&(stack_call){arguments, count, LAYERS, false}, false, 3);
}

double laminate_bending_poisson(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_modulus(&(stack_call){arguments, count, LAYERS, false}, true, 3);
}

/* --- loads and heat ----------------------------------------------------------------------------- */

/* Strain (or curvature) by axis under a load and a rise of temperature. */
static double answer_response(const stack_call *call, const mw_edge_load *load, double axis_code,
                              bool curved)
{
    const uint32_t axis = axis_of(axis_code);
    mw_laminate laminate;
    mw_flexibility flexibility;
    mw_response response;
    mw_trade_status status = axis == 3 ? MW_TRADE_NO_SENSE : build(call, &laminate);
    if (status == MW_TRADE_OK) {
        status = mw_trade_laminate_invert(&laminate, &flexibility);
    }
    if (status != MW_TRADE_OK) {
        return trade_answer(status, 0.0);
    }
    mw_trade_laminate_respond(&laminate, &flexibility, load, call->grows ? 1.0 : 0.0, &response);
    return curved ? response.curvature_per_m[axis] : response.strain[axis];
}

static double answer_load(const double *arguments, uint32_t count, bool curved)
{
    const stack_call call = {arguments + 7, count - 7, LAYERS, false};
    const mw_edge_load load = {{arguments[1], arguments[2], arguments[3]},
                               {arguments[4], arguments[5], arguments[6]}};
    return answer_response(&call, &load, arguments[0], curved);
}

double laminate_strain(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_load(arguments, count, false);
}

double laminate_curvature(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_load(arguments, count, true);
}

static double answer_heat(const double *arguments, uint32_t count, list_form form, bool curved)
{
    const stack_call call = {arguments + 1, count - 1, form, true};
    const mw_edge_load none = {{0.0, 0.0, 0.0}, {0.0, 0.0, 0.0}};
    return answer_response(&call, &none, arguments[0], curved);
}

double laminate_growth(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_heat(arguments, count, LAYERS, false);
}

double laminate_curl(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_heat(arguments, count, LAYERS, true);
}

double stack_growth(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_heat(arguments, count, BLOCKS, false);
}

double stack_curl(void *host, const double *arguments, uint32_t count)
{
    (void)host;
    return answer_heat(arguments, count, BLOCKS, true);
}

/* --- symmetry and balance ----------------------------------------------------------------------- */

static double answer_look(const stack_call *call, bool (*look)(const mw_laminate *laminate))
{
    mw_laminate laminate;
    const mw_trade_status status = build(call, &laminate);
    return trade_answer(status, status == MW_TRADE_OK && look(&laminate) ? 1.0 : 0.0);
}

double laminate_symmetric(void *host, const double *arguments, uint32_t count)
{
    const stack_call call = {arguments, count, LAYERS, false};
    (void)host;
    return answer_look(&call, mw_trade_laminate_is_symmetric);
}

double laminate_balanced(void *host, const double *arguments, uint32_t count)
{
    const stack_call call = {arguments, count, LAYERS, false};
    (void)host;
    return answer_look(&call, mw_trade_laminate_is_balanced);
}

double stack_symmetric(void *host, const double *arguments, uint32_t count)
{
    const stack_call call = {arguments, count, BLOCKS, false};
    (void)host;
    return answer_look(&call, mw_trade_laminate_is_symmetric);
}

double stack_balanced(void *host, const double *arguments, uint32_t count)
{
    const stack_call call = {arguments, count, BLOCKS, false};
    (void)host;
    return answer_look(&call, mw_trade_laminate_is_balanced);
}

/* --- one ply ------------------------------------------------------------------------------------ */

static mw_ply_elastic elastic_of(const double *arguments)
{
    return (mw_ply_elastic){
        .e1_pa = arguments[0], .e2_pa = arguments[1], .g12_pa = arguments[2], .nu12 = arguments[3]};
}

double ply_stiffness(void *host, const double *arguments, uint32_t count)
{
    const mw_ply_elastic ply = elastic_of(arguments + 2);
    const mw_entry entry = entry_of(arguments[0]);
    double q_pa[MW_ENTRY_COUNT];
    (void)host, (void)count;
    const mw_trade_status status = entry == MW_ENTRY_COUNT
                                       ? MW_TRADE_NO_SENSE
                                       : mw_trade_ply_stiffness(&ply, arguments[1], q_pa);
    return trade_answer(status, status == MW_TRADE_OK ? q_pa[entry] : 0.0);
}

double ply_invariant(void *host, const double *arguments, uint32_t count)
{
    const mw_ply_elastic ply = elastic_of(arguments + 1);
    double u_pa[5];
    (void)host, (void)count;
    for (int i = 0; i < 5; i++) {
        if (arguments[0] == i + 1.0) {
            const mw_trade_status status = mw_trade_ply_invariants(&ply, u_pa);
            return trade_answer(status, status == MW_TRADE_OK ? u_pa[i] : 0.0);
        }
    }
    return trade_answer(MW_TRADE_NO_SENSE, 0.0);
}
