package report

import "text/template/parse"

// visit calls do for every node of a block that names something, however deep.
func visit(n parse.Node, do func(parse.Node)) {
	switch n := n.(type) {
	case *parse.ListNode:
		if n == nil {
			return
		}
		for _, child := range n.Nodes {
			visit(child, do)
		}
	case *parse.ActionNode:
		visitPipe(n.Pipe, do)
	case *parse.IfNode:
		visitBranch(&n.BranchNode, do)
	case *parse.RangeNode:
		visitBranch(&n.BranchNode, do)
	case *parse.WithNode:
		visitBranch(&n.BranchNode, do)
	case *parse.TemplateNode:
		do(n)
		visitPipe(n.Pipe, do)
	case *parse.PipeNode:
		visitPipe(n, do)
	case *parse.ChainNode:
		visit(n.Node, do)
		do(n)
	case *parse.FieldNode, *parse.VariableNode:
		do(n)
	}
}

func visitBranch(n *parse.BranchNode, do func(parse.Node)) {
	visitPipe(n.Pipe, do)
	visit(n.List, do)
	visit(n.ElseList, do)
}

func visitPipe(p *parse.PipeNode, do func(parse.Node)) {
	if p == nil {
		return
	}
	for _, command := range p.Cmds {
		for _, argument := range command.Args {
			visit(argument, do)
		}
	}
}

// names are the values that a node names: Judged and Date of .Judged.Date, Lower of $.Lower.
func names(n parse.Node) []string {
	switch n := n.(type) {
	case *parse.FieldNode:
		return n.Ident
	case *parse.ChainNode:
		return n.Field
	case *parse.VariableNode:
		return n.Ident[1:]
	}
	return nil
}
