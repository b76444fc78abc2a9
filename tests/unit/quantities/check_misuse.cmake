# cmake -DCOMPILER=C++ -DINCLUDE=DIR -DSNIPPET=FILE -P check_misuse.cmake
# Fails unless FILE compiles as it is and does not compile with -DMISUSE.
set(compile ${COMPILER} -std=c++20 -fsyntax-only -I${INCLUDE} ${SNIPPET})
execute_process(COMMAND ${compile} RESULT_VARIABLE plain ERROR_VARIABLE errors)
if(NOT plain EQUAL 0)
  message(FATAL_ERROR "does not compile even without the misuse:\n${errors}")
endif()
execute_process(COMMAND ${compile} -DMISUSE RESULT_VARIABLE misused ERROR_VARIABLE errors)
if(misused EQUAL 0)
  message(FATAL_ERROR "the misuse compiles")
endif()
if(NOT errors MATCHES "error:")
  message(FATAL_ERROR "the compiler failed without an error of the code:\n${errors}")
endif()
