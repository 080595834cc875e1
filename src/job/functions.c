/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The functions that the job adds to the language: one table of the rows of every subject. */
#include "functions_shop.h"
#include "parts.h"

static const mw_function functions[] = {
#include "functions_shop.def"
};

mw_host host_functions(host_context *context)
{
    return (mw_host){functions, sizeof functions / sizeof *functions, context};
}

mw_host mw_job_functions(void)
{
    return host_functions(NULL);
}
