/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The functions that the job adds to the language: one table of the rows of every subject. */
#include "functions_block.h"
#include "functions_coat.h"
#include "functions_consumable.h"
#include "functions_cure.h"
#include "functions_fibre.h"
#include "functions_kinetics.h"
#include "functions_labour.h"
#include "functions_laminate.h"
#include "functions_machining.h"
#include "functions_panel.h"
#include "functions_pot.h"
#include "functions_risk.h"
#include "functions_shop.h"
#include "functions_stiffness.h"
#include "parts.h"

static const mw_function functions[] = {
#include "functions_block.def"
#include "functions_coat.def"
#include "functions_consumable.def"
#include "functions_cure.def"
#include "functions_fibre.def"
#include "functions_kinetics.def"
#include "functions_labour.def"
#include "functions_laminate.def"
#include "functions_machining.def"
#include "functions_panel.def"
#include "functions_pot.def"
#include "functions_risk.def"
#include "functions_shop.def"
#include "functions_stiffness.def"
};

mw_host host_functions(host_context *context)
{
    return (mw_host){functions, sizeof functions / sizeof *functions, context};
}

mw_host mw_job_functions(void)
{
    return host_functions(NULL);
}
