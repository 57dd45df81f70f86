// Door of advise/.
#pragma once

#include "advise/verdict.h"
